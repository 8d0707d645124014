import type { Span } from '../base/log.ts';
import { DEG_PER_RAD } from '../base/units.ts';
import type { RateMotion } from '../motion/motion.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import { lowestBetween, type Swing } from './swings.ts';

/** The place between two swings of a spin where the blade all but stands still. */
export interface Reversal {
  /** Time of the lowest true speed between the two peaks. */
  readonly timeUs: number;
  readonly index: number;
  readonly lowestDps: number;
  /** Turn of the swing's direction from one swing to the next, 0 to 180; 180 is straight back in the same plane. */
  readonly turnDeg: number;
  /** Samples of the peaks before and after. */
  readonly peakBefore: number;
  readonly peakAfter: number;
}

/** From this turn on the blade goes back; below it only slows down on its way. */
export const REVERSAL_TURN_DEG = 90;

/** How long after the true reversal a causal channel may still be falling towards it. */
const MAX_LAG_US = 100_000;

/**
 * One reversal for every two neighbouring swings with the lowest speed between their peaks inside a spinning span;
 * none across a gap.
 * @param swings  in the order of their peaks.
 */
export function findReversals(
  motion: RateMotion,
  swings: readonly Swing[],
  spinning: readonly Span[],
): Reversal[] {
  const reversals: Reversal[] = [];
  for (let k = 1; k < swings.length; ++k) {
    const [before, after] = [swings[k - 1]!, swings[k]!];
    const peakBefore = firstAtOrAfter(motion.timeUs, before.peakUs);
    const peakAfter = firstAtOrAfter(motion.timeUs, after.peakUs);
    if (!(peakAfter > peakBefore) || isGapBetween(motion, peakBefore, peakAfter)) continue;
    const index = lowestBetween(motion.trueSpeedDps, peakBefore, peakAfter);
    const timeUs = motion.timeUs[index]!;
    if (!spinning.some((span) => span.startUs <= timeUs && timeUs <= span.endUs)) continue;
    const lowestDps = motion.trueSpeedDps[index]!;
    reversals.push({
      timeUs,
      index,
      lowestDps,
      turnDeg: turnBetween(motion, before, after),
      peakBefore,
      peakAfter,
    });
  }
  return reversals;
}

/**
 * Width of the dip at a reversal for a guard's speed: the time from the last sample at or above speedDps before it to
 * the next one after it. 0 where the speed stays at or above speedDps; null where it was not there before, or does not
 * come back, up to the next gap or NaN.
 * `speed` may lag behind the reversal: where it is still at or above speedDps there, the dip is looked for in the next
 * 100 ms.
 */
export function dipWidthUs(
  speed: Float64Array,
  timeUs: Float64Array,
  reversalIndex: number,
  speedDps: number,
): number | null {
  const inside = firstBelow(speed, timeUs, reversalIndex, speedDps);
  if (inside === null) return 0;
  const before = nearestAtOrAbove(speed, timeUs, inside, -1, speedDps);
  const after = nearestAtOrAbove(speed, timeUs, inside, 1, speedDps);
  return before === null || after === null ? null : timeUs[after]! - timeUs[before]!;
}

/**
 * First sample at which a speed that may lag behind a reversal is below speedDps, within 100 ms and before `end`; null
 * where there is none.
 */
export function firstBelow(
  speed: Float64Array,
  timeUs: Float64Array,
  from: number,
  speedDps: number,
  end = speed.length,
): number | null {
  for (let i = from; i < end && timeUs[i]! - timeUs[from]! <= MAX_LAG_US; ++i) {
    if (!(speed[i]! >= speedDps)) return i;
  }
  return null;
}

function nearestAtOrAbove(
  speed: Float64Array,
  timeUs: Float64Array,
  from: number,
  direction: 1 | -1,
  speedDps: number,
): number | null {
  const maxStepUs = 1.5 * nominalStepUs(timeUs, from) + 1;
  for (let i = from; ; i += direction) {
    if (i < 0 || i >= speed.length || Number.isNaN(speed[i]!)) return null;
    if (i !== from && Math.abs(timeUs[i]! - timeUs[i - direction]!) > maxStepUs) return null;
    if (speed[i]! >= speedDps) return i;
  }
}

/** The step beside a sample: the smaller of the two, as the other may lead across a gap. */
function nominalStepUs(timeUs: Float64Array, index: number): number {
  const before = index > 0 ? timeUs[index]! - timeUs[index - 1]! : Infinity;
  const after = index + 1 < timeUs.length ? timeUs[index + 1]! - timeUs[index]! : Infinity;
  return Math.min(before, after);
}

function isGapBetween(motion: RateMotion, from: number, to: number): boolean {
  return motion.segments.some(({ start }) => start > from && start <= to);
}

/** Angle between the mean rates across the blade of two swings, in degrees; 0 where one of them has none. */
function turnBetween(motion: RateMotion, a: Span, b: Span): number {
  const [ay, az] = meanAcross(motion, a);
  const [by, bz] = meanAcross(motion, b);
  return Math.abs(Math.atan2(ay * bz - az * by, ay * by + az * bz)) * DEG_PER_RAD;
}

function meanAcross({ timeUs, gyroYDps, gyroZDps }: RateMotion, { startUs, endUs }: Span): [number, number] {
  const start = firstAtOrAfter(timeUs, startUs);
  const end = firstAtOrAfter(timeUs, endUs);
  let y = 0;
  let z = 0;
  for (let i = start; i < end; ++i) {
    y += gyroYDps[i]!;
    z += gyroZDps[i]!;
  }
  return [y, z];
}
