import type { Segment, UniformLog } from '../base/log.ts';
import { RAD_PER_DEG } from '../base/units.ts';
import type { TurnSums } from './pairChoice.ts';

/** Slower than this is noise, sway or a residual bias, which would add up to a turn. */
const TURNING_RADPS = 5 * RAD_PER_DEG;

export type BinnedLog = Pick<
  UniformLog,
  'gyroXDps' | 'gyroYDps' | 'gyroZDps' | 'accelXG' | 'accelYG' | 'accelZG' | 'rateHz' | 'segments'
>;
/** Rates in rad/s and forces in g, three numbers a bin. */
export interface AllBins {
  readonly rates: Float64Array;
  readonly forces: Float64Array;
}

/** Fills the bins and gives each segment's first and last. */
export function fillBins(
  { rates, forces }: AllBins,
  log: BinnedLog,
  segments: readonly Segment[],
  size: number,
): Segment[] {
  const gyro = [log.gyroXDps, log.gyroYDps, log.gyroZDps] as const;
  const accel = [log.accelXG, log.accelYG, log.accelZG] as const;
  let bin = 0;
  return segments.map(({ start, end }) => {
    const first = bin;
    for (let i = start; i + size <= end; i += size, ++bin) {
      for (let axis = 0; axis < 3; ++axis) {
        rates[3 * bin + axis] = meanOf(gyro[axis]!, i, size) * RAD_PER_DEG;
        forces[3 * bin + axis] = meanOf(accel[axis]!, i, size);
      }
    }
    return { start: first, end: bin };
  });
}

/** For each axis the running sum before each bin, in degrees. */
export function sumsOf(
  { rates, forces }: AllBins,
  stepS: number,
  of: (rates: Float64Array, forces: Float64Array, bin: number, axis: number) => number,
): TurnSums {
  const bins = rates.length / 3;
  const toDeg = stepS / RAD_PER_DEG;
  return [0, 1, 2].map((axis) => {
    const sums = new Float64Array(bins + 1);
    for (let b = 0; b < bins; ++b) sums[b + 1] = sums[b]! + of(rates, forces, b, axis) * toDeg;
    return sums;
  });
}

/** The change of a force from bin to bin, a second. */
export function changesOf(forces: Float64Array, stepS: number): Float64Array {
  return forces.map((_, k) => {
    const [lo, hi] = [k >= 3 ? k - 3 : k, k + 3 < forces.length ? k + 3 : k];
    return (forces[hi]! - forces[lo]!) / (((hi - lo) / 3) * stepS);
  });
}

/** What pairs cover together. */
export function spansOf(starts: readonly number[], length: number): Segment[] {
  const spans: { start: number; end: number }[] = [];
  for (const start of starts) {
    const last = spans.at(-1);
    if (last && start <= last.end) last.end = start + length;
    else spans.push({ start, end: start + length });
  }
  return spans;
}

/** The same spans, each from where the one before it ends. */
export function inARow(spans: readonly Segment[]): Segment[] {
  let next = 0;
  return spans.map(({ start, end }) => {
    const first = next;
    next += end - start;
    return { start: first, end: next };
  });
}

/** The bins of all spans in a row. */
export function gathered(bins: Float64Array, spans: readonly Segment[]): Float64Array {
  const out = new Float64Array(3 * spans.reduce((sum, { start, end }) => sum + end - start, 0));
  let to = 0;
  for (const { start, end } of spans) {
    out.set(bins.subarray(3 * start, 3 * end), to);
    to += 3 * (end - start);
  }
  return out;
}

export function turnOf(rates: Float64Array, _forces: Float64Array, bin: number, axis: number): number {
  const rate = Math.abs(rates[3 * bin + axis]!);
  return rate < TURNING_RADPS ? 0 : rate;
}

/** The turn times the sine of the angle between its axis and the force. */
export function moveOf(rates: Float64Array, forces: Float64Array, bin: number, axis: number): number {
  const [x, y, z] = [forces[3 * bin]!, forces[3 * bin + 1]!, forces[3 * bin + 2]!];
  const size = x * x + y * y + z * z || 1;
  return turnOf(rates, forces, bin, axis) * Math.sqrt(Math.max(0, 1 - forces[3 * bin + axis]! ** 2 / size));
}

function meanOf(values: Float64Array, from: number, count: number): number {
  let sum = 0;
  for (let i = from; i < from + count; ++i) sum += values[i]!;
  return sum / count;
}
