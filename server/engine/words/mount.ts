import type { AxisSpeeds } from '../check/lever.ts';
import { listed, percent } from './count.ts';

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

const AXES = ['x', 'y', 'z'] as const;
/** Differences of less than this are no news. */
const LEAST_SHARE = 0.02;

/** How much the swing speed would change if the blade pointed along another axis than x, which is taken; '' where nothing tells. */
export function otherAxesText(axes: AxisSpeeds): string {
  const [taken] = axes;
  if (!(taken > 0)) return '';
  const others = AXES.slice(1).map((axis, i) => {
    const share = axes[i + 1]! / taken - 1;
    if (Math.abs(share) < LEAST_SHARE) return `along ${axis} it would be the same`;
    return `along ${axis} ${percent(Math.abs(share))} ${share > 0 ? 'higher' : 'lower'}`;
  });
  return `Were the blade to lie along another axis, the swing speed would be another: ${listed(others)}.`;
}
