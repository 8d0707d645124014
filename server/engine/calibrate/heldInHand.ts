import type { UniformLog } from '../base/log.ts';

/** Samples from..to - 1. */
export interface SampleSpan {
  readonly from: number;
  readonly to: number;
}

/** Long enough for tremor of 8 to 12 Hz to come out even, short enough to follow a hand's sway. */
const BLOCK_S = 0.25;
/** A sensor's own filter smears its noise, and bias wanders: on a table means of blocks differ by this, */
const STEADY_DPS = 0.06;
const STEADY_G = 0.003;
/** or by so many times what noise without memory makes of them. */
const NOISE_TIMES = 3;
/** A stretch is cut so much at a time, and so often at most. */
const CUT_S = 0.1;
const CUTS = 5;
const RATES = ['gyroXDps', 'gyroYDps', 'gyroZDps'] as const;
const FORCES = ['accelXG', 'accelYG', 'accelZG'] as const;

/**
 * The part of a quiet stretch that lay on something and was not held, null where none of `least` samples did: a hand sways
 * by a degree or so in a second, which noise of single samples hides and means of a quarter second show, in the rates as in
 * where the force points. Of a stretch that begins or ends in the hand up to half a second goes.
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

/** How far means of blocks differ, as a part of what they may: the worst channel. */
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

/** Standard deviation by steps from sample to sample, which slow motion hardly makes. */
function fastNoise(values: Float64Array, from: number, to: number): number {
  let squares = 0;
  for (let i = from + 1; i < to; ++i) squares += (values[i]! - values[i - 1]!) ** 2;
  return Math.sqrt(squares / (2 * Math.max(1, to - from - 1)));
}
