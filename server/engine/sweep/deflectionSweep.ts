import { DeflectionDetector, type DeflectionSettings } from '../detect/deflection.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { FireAssignment } from '../score/fireAssignment.ts';
import { quantileSorted } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';
import { checkedAxis } from './axis.ts';
import { sweepFires } from './fireSweep.ts';

/**
 * The deflection's scores over a grid. Grids are row-major: the cell of speed s and ratio r stands at
 * s * ratios + r. Where no swing fires, the delay is NaN.
 */
export interface DeflectionSweep {
  readonly speedsDps: Float64Array;
  readonly rearmRatios: Float64Array;
  /** The same in every cell. */
  readonly swings: number;
  readonly once: Int32Array;
  readonly missed: Int32Array;
  readonly twice: Int32Array;
  readonly outside: Int32Array;
  readonly delayMedianMs: Float64Array;
}

/**
 * What `scoreDeflection` would give at every speed and rearm ratio, the other settings as in `base`: one pass for all
 * speeds of a ratio.
 * @param args  `swings` in the order of their peaks; both axes rising.
 * @throws RangeError  on an axis that is empty, not finite or does not rise, and on a setting out of bounds.
 */
export function sweepDeflection(args: {
  readonly signals: SpeedSignals;
  readonly swings: readonly Swing[];
  readonly base: DeflectionSettings;
  readonly speedsDps: readonly number[];
  readonly rearmRatios: readonly number[];
}): DeflectionSweep {
  const { signals, swings, base } = args;
  const speedsDps = checkedAxis('speedsDps', args.speedsDps);
  const rearmRatios = checkedAxis('rearmRatios', args.rearmRatios);
  for (const rearmRatio of [rearmRatios[0]!, rearmRatios.at(-1)!]) {
    // Its constructor knows the bounds of every setting.
    new DeflectionDetector({ ...base, rearmRatio, speedDps: speedsDps[0]! }, signals.rateHz);
  }
  const grid = emptyGrid(speedsDps.length * rearmRatios.length);
  const assignment = new FireAssignment(swings);
  const delaysMs = new Float64Array(swings.length);
  rearmRatios.forEach((rearmRatio, r) => {
    sweepFires(signals, speedsDps, { ...base, rearmRatio }).forEach((fires, s) => {
      const fireUs = new Float64Array(fires.length);
      for (let k = 0; k < fires.length; ++k) fireUs[k] = signals.timeUs[fires[k]!]!;
      assignment.assign(fireUs);
      fillCell(grid, s * rearmRatios.length + r, assignment, swings, delaysMs);
    });
  });
  return { ...grid, speedsDps, rearmRatios, swings: swings.length };
}

function emptyGrid(cells: number) {
  return {
    once: new Int32Array(cells),
    missed: new Int32Array(cells),
    twice: new Int32Array(cells),
    outside: new Int32Array(cells),
    delayMedianMs: new Float64Array(cells),
  };
}

function fillCell(
  grid: ReturnType<typeof emptyGrid>,
  cell: number,
  assignment: FireAssignment,
  swings: readonly Swing[],
  delaysMs: Float64Array,
): void {
  const { counts, firstUs, outside } = assignment;
  let hit = 0;
  for (let i = 0; i < counts.length; ++i) {
    if (counts[i] === 0) grid.missed[cell]! += 1;
    else if (counts[i] === 1) grid.once[cell]! += 1;
    else grid.twice[cell]! += 1;
    if (counts[i]! > 0) delaysMs[hit++] = (firstUs[i]! - swings[i]!.startUs) / 1000;
  }
  grid.outside[cell] = outside;
  grid.delayMedianMs[cell] = hit === 0 ? Number.NaN : quantileSorted(delaysMs.subarray(0, hit).sort(), 0.5);
}
