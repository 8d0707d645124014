import { DeflectionDetector, type DeflectionSettings } from '../detect/deflection.ts';
import { whenSwitchedOn } from '../detect/deflectionButton.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { FireAssignment } from '../score/fireAssignment.ts';
import { wantedSwings } from '../score/wantedSwings.ts';
import type { Swing } from '../truth/swings.ts';
import { type FireGrid, sweepFireGrid } from './fireGrid.ts';
import { sweepFires } from './fireSweep.ts';

/** Swings missed, swings that fire twice or more, and fires outside any, over speed (x) and rearm ratio (y). */
export type DeflectionPart = 'missed' | 'twice' | 'outside';
export type DeflectionGrid = FireGrid<DeflectionPart, 'swings'>;

/**
 * What `scoreDeflection` would give at every speed and rearm ratio, the other settings as in `base`: one pass for all
 * speeds of a ratio. Where nobody knows when the deflection's button was held, no swing counts, and nothing fires.
 * @param args  `swings` in the order of their peaks; both axes rising.
 * @throws RangeError  on an axis that is empty, not finite or does not rise, and on a setting out of bounds.
 */
export function sweepDeflection(args: {
  readonly signals: SpeedSignals;
  readonly swings: readonly Swing[];
  readonly base: DeflectionSettings;
  readonly xs: readonly number[];
  readonly ys: readonly number[];
}): DeflectionGrid {
  const { signals, base, xs, ys } = args;
  const on = whenSwitchedOn(signals, base);
  const swings = on === 'unknown' ? [] : wantedSwings(signals, args.swings, on);
  const assignment = new FireAssignment(swings);
  return sweepFireGrid({
    timeUs: signals.timeUs,
    xs,
    ys,
    sizes: { swings: swings.length },
    parts: ['missed', 'twice', 'outside'],
    firesAt(rearmRatio, speedsDps) {
      // Its constructor knows the bounds of every setting.
      new DeflectionDetector({ ...base, rearmRatio, speedDps: speedsDps[0]! }, signals.rateHz);
      return on === 'unknown'
        ? Array.from(speedsDps, () => [])
        : sweepFires(signals, speedsDps, { ...base, rearmRatio }, on);
    },
    count(fireUs) {
      assignment.assign(fireUs);
      const { counts, firstUs, outside } = assignment;
      const delaysMs: number[] = [];
      const wrong = { missed: 0, twice: 0, outside };
      for (let i = 0; i < counts.length; ++i) {
        if (counts[i] === 0) ++wrong.missed;
        else delaysMs.push((firstUs[i]! - swings[i]!.startUs) / 1000);
        if (counts[i]! > 1) ++wrong.twice;
      }
      return { wrong, delaysMs: Float64Array.from(delaysMs) };
    },
  });
}
