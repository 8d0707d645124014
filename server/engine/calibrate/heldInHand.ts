import type { UniformLog } from '../base/log.ts';

/** Samples from..to - 1. */
export interface SampleSpan {
  readonly from: number;
  readonly to: number;
}

/** Long enough to average out tremor of 8 to 12 Hz, short enough to follow a hand's sway. */
const BLOCK_S = 0.25;
/**
 * On a table the means of blocks differ by up to this, as a sensor's filter correlates its noise and its bias drifts,
 */
const STEADY_DPS = 0.06;
const STEADY_G = 0.003;
/** or by up to this many times the difference that white noise would give. */
const NOISE_TIMES = 3;
/** The ends of a stretch are cut back by this much at a time, and this often at most. */
const CUT_S = 0.1;
const CUTS = 5;
const RATES = ['gyroXDps', 'gyroYDps', 'gyroZDps'] as const;
const FORCES = ['accelXG', 'accelYG', 'accelZG'] as const;

/**
 * The part of a quiet stretch that lay on a support and was not held; null where no `least` samples did. A held prop
 * sways by a degree or so in a second: noise of single samples hides that, means of a quarter second show it, in the
 * rates and in the direction of the force. Up to half a second is cut off at each end for hands that lay it down or
 * pick it up.
 */
export function lyingPart(log: UniformLog, span: SampleSpan, least: number): SampleSpan | null {
  const step = Math.max(1, Math.round(CUT_S * log.rateHz));
  let { from, to } = span;
  for (let cut = 0; cut <= CUTS && to - from >= least; ++cut) {
    if (isLying(log, { from, to })) return { from, to };
    const [front, back] = [
      { from: from + step, to },
      { from, to: to - step },
    ];
    const isFront = unrest(log, front) <= unrest(log, back);
    ({ from, to } = isFront ? front : back);
  }
  return null;
}

function isLying(log: UniformLog, span: SampleSpan): boolean {
  return unrest(log, span) <= 1;
}

/** The largest difference of block means over all channels, as a multiple of the tolerated one. */
function unrest(log: UniformLog, span: SampleSpan): number {
  const size = Math.max(1, Math.round(BLOCK_S * log.rateHz));
  return Math.max(
    ...RATES.map((key) => spreadOf(log[key], span, size, STEADY_DPS)),
    ...FORCES.map((key) => spreadOf(log[key], span, size, STEADY_G)),
  );
}

function spreadOf(values: Float64Array, { from, to }: SampleSpan, size: number, steady: number): number {
  const count = Math.floor((to - from) / size);
  const means = Array.from({ length: count }, (_, b) => meanOf(values, from + b * size, size));
  const mean = means.reduce((sum, one) => sum + one, 0) / count;
  const spread = Math.sqrt(means.reduce((sum, one) => sum + (one - mean) ** 2, 0) / Math.max(1, count - 1));
  return spread / Math.max(steady, (NOISE_TIMES * fastNoise(values, from, to)) / Math.sqrt(size));
}

function meanOf(values: Float64Array, from: number, size: number): number {
  let sum = 0;
  for (let i = from; i < from + size; ++i) sum += values[i]!;
  return sum / size;
}

/** Standard deviation by differences of neighbouring samples, to which slow motion adds hardly anything. */
function fastNoise(values: Float64Array, from: number, to: number): number {
  let squares = 0;
  for (let i = from + 1; i < to; ++i) squares += (values[i]! - values[i - 1]!) ** 2;
  return Math.sqrt(squares / (2 * Math.max(1, to - from - 1)));
}
