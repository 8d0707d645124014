import type { UniformLog } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { studentT95 } from '../statistics/studentT.ts';
import type { StillStretch } from './stillStretch.ts';

type Vec3 = readonly [number, number, number];

/** Noise of one block says nothing of the next one's: a sensor's own filter ends well within it. */
const BLOCK_S = 0.25;
const AXES = ['gyroXDps', 'gyroYDps', 'gyroZDps'] as const;

/**
 * Half widths, in deg/s, of the 95 % intervals of each rest's mean rates: x, y, z. They come from the means of blocks
 * of a quarter second, pooled over all rests: a sensor's own filter correlates neighbouring samples, which must not
 * count as independent. Where the noise is too small to cross a step of the codes, half a step is added. Drift between
 * rests is not included.
 */
export function biasHalfWidths(log: UniformLog, stretches: readonly StillStretch[]): Vec3[] {
  const [x, y, z] = AXES.map((axis) => halfWidths(log[axis], log, stretches));
  return stretches.map((_, k) => [x![k]!, y![k]!, z![k]!]);
}

function halfWidths(rate: Float64Array, log: UniformLog, stretches: readonly StillStretch[]): number[] {
  const size = Math.max(1, Math.round(BLOCK_S * log.rateHz));
  const counts: number[] = [];
  let squares = 0;
  let freedom = 0;
  for (const { startUs, endUs } of stretches) {
    const [range] = sampleRanges(log.timeUs, [{ startUs, endUs: endUs + 1 }]);
    const means = range ? blockMeans(rate, range.start, range.end, size) : [];
    const mean = means.reduce((sum, one) => sum + one, 0) / means.length;
    for (const one of means) squares += (one - mean) ** 2;
    freedom += Math.max(0, means.length - 1);
    counts.push(Math.max(1, means.length));
  }
  const variance = freedom > 0 ? squares / freedom : 0;
  const hidden = hiddenStep(rate, log, stretches);
  return counts.map((count) => {
    const noise = studentT95(Math.max(1, freedom)) * Math.sqrt(variance / count);
    return Math.sqrt(noise * noise + hidden * hidden);
  });
}

function blockMeans(rate: Float64Array, start: number, end: number, size: number): number[] {
  const blocks = Math.max(1, Math.floor((end - start) / size));
  return Array.from({ length: blocks }, (_, b) => {
    const [from, to] = [start + b * size, Math.min(end, start + (b + 1) * size)];
    let sum = 0;
    for (let i = from; i < to; ++i) sum += rate[i]!;
    return sum / (to - from);
  });
}

/** Half a step of the codes where the noise spans hardly more than one step, else 0. */
function hiddenStep(rate: Float64Array, log: UniformLog, stretches: readonly StillStretch[]): number {
  const values = new Set<number>();
  for (const { start, end } of sampleRanges(
    log.timeUs,
    stretches.map(({ startUs, endUs }) => ({ startUs, endUs: endUs + 1 })),
  )) {
    for (let i = start; i < end; ++i) {
      values.add(Math.round(rate[i]! * 1e6));
      if (values.size > 3) return 0;
    }
  }
  if (values.size < 2) return values.size === 1 ? smallestStep(rate) / 2 : 0;
  const sorted = [...values].sort((a, b) => a - b);
  return Math.min(...sorted.slice(1).map((value, k) => value - sorted[k]!)) / 2e6;
}

/** The smallest step between two of a channel's values; a value that stands still can be wrong by half of it. */
function smallestStep(rate: Float64Array): number {
  const sorted = rate.slice().sort();
  let least = Number.POSITIVE_INFINITY;
  for (let i = 1; i < sorted.length; ++i) {
    const step = sorted[i]! - sorted[i - 1]!;
    if (step > 1e-9 && step < least) least = step;
  }
  return Number.isFinite(least) ? least : 0;
}
