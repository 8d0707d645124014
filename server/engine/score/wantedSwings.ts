import type { SwitchedOn } from '../detect/deflectionButton.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';
import { LATE_FIRE_MS } from './fireAssignment.ts';

/**
 * The swings in which a deflection is wanted: all of them, or, where deflections wait for a button, those in whose reach
 * they are on at any sample. In the others nobody asked for one, and none can fire.
 */
export function wantedSwings(
  { timeUs }: Pick<SpeedSignals, 'timeUs'>,
  swings: readonly Swing[],
  on: Exclude<SwitchedOn, 'unknown'>,
): readonly Swing[] {
  if (on === 'always') return swings;
  return swings.filter(({ startUs, endUs }) => {
    const first = firstAtOrAfter(timeUs, startUs);
    return on.subarray(first, firstAtOrAfter(timeUs, endUs + LATE_FIRE_MS * 1000 + 1)).includes(1);
  });
}
