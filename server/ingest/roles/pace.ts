import { type ColumnSample, stepsOf } from '../layout/columnSample.ts';

/** Fewer steps of 2 may be chance. */
const LONG_AT_LEAST = 4;

/** How a column's values go on from row to row. */
interface Pace {
  readonly steps: Float64Array;
  /** Those above 0, and their median. */
  readonly rising: Float64Array;
  readonly step: number;
  /** Several rows share a stamp: what counts is the time a row. */
  readonly isCoarse: boolean;
  readonly rowStep: number;
  readonly meanStep: number;
}

/** A column is asked about again for each pair of sensors and as the clock. */
const KNOWN_PACES = new WeakMap<ColumnSample, Pace>();

export function paceOf(sample: ColumnSample): Pace {
  const known = KNOWN_PACES.get(sample);
  if (known) return known;
  const steps = stepsOf(sample);
  const rising = steps.filter((step) => step > 0);
  const sorted = rising.slice().sort();
  const step = sorted[sorted.length >> 1] ?? Number.NaN;
  const isCoarse = rising.length * 2 < steps.length;
  const mean = meanStep(steps, sorted);
  const rowStep = isCoarse || !isSteady(rising, step) ? mean : step;
  const pace = { steps, rising, step, isCoarse, rowStep, meanStep: mean };
  KNOWN_PACES.set(sample, pace);
  return pace;
}

/** True where every step but a few is exactly one. */
export function isUnitStep(steps: Float64Array): boolean {
  return steps.filter((step) => step === 1).length >= 0.9 * steps.length;
}

/**
 * True for whole milliseconds of a rate near 1000 Hz: long steps at even distances, or steps of 0 and 2 in turn where stamps
 * jitter. What counts samples steps by 1, and by more only where some are lost.
 */
export function isCutTime(steps: Float64Array): boolean {
  const long: number[] = [];
  let none = 0;
  for (const [i, step] of steps.entries()) {
    if (step === 0) ++none;
    if (step === 2) long.push(i);
    else if (step > 2) return false;
  }
  if (long.length < LONG_AT_LEAST) return false;
  const distances = long.slice(1).map((at, i) => at - long[i]!);
  return none >= LONG_AT_LEAST || Math.max(...distances) - Math.min(...distances) <= 1;
}

/** Without a name, only a steady rise is a clock. */
export function looksLikeClock(rising: Float64Array, step: number): boolean {
  let steady = 0;
  for (let i = 0; i < rising.length; ++i) if (rising[i]! > 0.5 * step && rising[i]! < 1.5 * step) ++steady;
  return rising.length > 2 && steady >= 0.8 * rising.length;
}

/** Without a name, and with stamps of rows that waited in a buffer: never a fall, and the pace from tenth to tenth even. */
export function risesInBunches(steps: Float64Array, rising: Float64Array): boolean {
  if (steps.length < 100 || rising.length < 0.4 * steps.length || steps.some((step) => step < 0))
    return false;
  const tenth = Math.floor(steps.length / 10);
  const sums = Array.from({ length: 10 }, (_, i) =>
    steps.subarray(i * tenth, (i + 1) * tenth).reduce((sum, step) => sum + step, 0),
  );
  return Math.max(...sums) < 1.5 * Math.min(...sums);
}

function isSteady(rising: Float64Array, step: number): boolean {
  let [close, far] = [0, 0];
  for (let i = 0; i < rising.length; ++i) {
    if (rising[i]! > 0.5 * step && rising[i]! < 2 * step) ++close;
    else if (rising[i]! > 5 * step) ++far;
  }
  return close >= 0.6 * rising.length && far * 50 < rising.length;
}

/** Mean of the steps but the few longest, which may be gaps. @param sorted  those above 0 */
function meanStep(steps: Float64Array, sorted: Float64Array): number {
  let count = sorted.length;
  for (let i = 0; i < steps.length; ++i) if (steps[i] === 0) ++count;
  const kept = Math.max(1, Math.ceil(0.995 * count));
  let sum = 0;
  for (let i = 0; i < sorted.length - (count - kept); ++i) sum += sorted[i]!;
  return sum / kept;
}
