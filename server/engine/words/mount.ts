import type { AxisShares } from '../check/lever.ts';
import { percent } from './count.ts';

/** What to do where nobody has said which way the blade points, in the page. */
export const SAY_MOUNT = 'Say which way the blade points in Signal check.';

/**
 * In how many takes the mount is assumed, what rests on that, and what to do; '' where it is in none.
 * @param of  all takes that count.
 */
export function assumedMountText(assumed: number, of: number, advice = SAY_MOUNT): string {
  if (assumed === 0) return '';
  const where = of === 1 ? 'The mount is assumed' : `In ${assumed} of ${of} takes the mount is assumed`;
  return `${where}: nobody has said which way the blade points, and swing speed, and with it the guard, rests on that. ${advice}`;
}

interface JudgedTake {
  readonly isMountAssumed?: boolean;
  /** Why it does not count; null where it does. */
  readonly leftOut: string | null;
}

/** The same of the takes that a setting was judged on; those left out do not count. */
export function keptMountText(takes: readonly JudgedTake[]): string {
  const counting = takes.filter(({ leftOut }) => leftOut === null);
  return assumedMountText(
    counting.filter(({ isMountAssumed }) => isMountAssumed === true).length,
    counting.length,
  );
}

/** How much the swing speed would change if the blade pointed along another axis than x, which is taken; '' where nothing tells. */
export function otherAxesText([alongY, alongZ]: AxisShares): string {
  if (Number.isNaN(alongY + alongZ)) return '';
  return `Were the blade to lie along y, the swing speed would differ by a quarter or more in ${percent(alongY)} of the moving time, along z in ${percent(alongZ)}.`;
}
