import type { Segment } from '../base/log.ts';
import { longestSegment } from '../base/timeBase.ts';
import { zeroPhaseLowPass } from '../filter/zeroPhase.ts';

/**
 * Keeps the peak of a minimum-jerk swing within 2 % for swings of 0.12 s or more (0.6 % at 0.2 s), from 100 Hz up; a
 * blade rings far above this after a knock.
 */
const TRUTH_CUTOFF_HZ = 16;

/**
 * Swing speed without noise and without delay, deg/s: for finding the truth, never causal. The axes are filtered first
 * and joined afterwards: at a reversal the speed itself has a corner that a filter would fill.
 */
export function computeTrueSpeed(
  yDps: Float64Array,
  zDps: Float64Array,
  segments: readonly Segment[],
  rateHz: number,
): Float64Array {
  const cutoffHz = Math.min(TRUTH_CUTOFF_HZ, 0.4 * rateHz);
  const speed = new Float64Array(yDps.length);
  const other = new Float64Array(longestSegment(segments));
  for (const { start, end } of segments) {
    const y = zeroPhaseLowPass(yDps.subarray(start, end), 2, cutoffHz, rateHz, speed.subarray(start, end));
    const z = zeroPhaseLowPass(
      zDps.subarray(start, end),
      2,
      cutoffHz,
      rateHz,
      other.subarray(0, end - start),
    );
    for (let i = 0; i < y.length; ++i) y[i] = Math.sqrt(y[i]! * y[i]! + z[i]! * z[i]!);
  }
  return speed;
}
