/** Places and quantiles of values in rising order. */
import { quickselect } from 'simple-statistics';

/** The first index whose value is `value` or above; the length where there is none. */
export function firstAtOrAfter(rising: ArrayLike<number>, value: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (rising[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The first index whose value is above `value`; the length where there is none. */
export function firstAfter(rising: ArrayLike<number>, value: number): number {
  let low = 0;
  let high = rising.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (rising[middle]! <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The first index below `length` from which on `holds` is true; `length` where there is none. */
export function firstWhere(length: number, holds: (index: number) => boolean): number {
  let low = 0;
  let high = length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** The middle value, of an even count the upper of two; NaN counts as the largest, and is returned where there is none. */
export function upperMedian(values: ArrayLike<number>): number {
  const middle = values.length >> 1;
  const copy = Float64Array.from(values);
  return copy.length < LONG ? (copy.sort()[middle] ?? Number.NaN) : selected(copy, middle);
}

/** So many values are not put in order for the sake of one: of an hour's samples that takes half a second. */
const LONG = 1000;

/** What would stand at a place once `sort` had put the values in order, to the bit. They are written over. */
function selected(values: Float64Array, place: number): number {
  let known = values.length;
  for (let i = 0; i < known; ) {
    if (Number.isNaN(values[i])) values[i] = values[--known]!;
    else ++i;
  }
  if (place >= known) return Number.NaN;
  const others = values.subarray(0, known);
  // The package's types ask for number[]; it only exchanges elements.
  quickselect(others as unknown as number[], place);
  if (others[place] !== 0) return others[place]!;
  // It takes both zeros for the same, where sorting puts -0 before 0.
  return place < others.filter((value) => value < 0 || Object.is(value, -0)).length ? -0 : 0;
}

/** Median and 95th percentile of some times. */
export interface Spread {
  readonly median: number;
  readonly p95: number;
  readonly n: number;
}

/** Median and 95th percentile; null where there is no value. Reorders nothing. */
export function spreadOf(values: readonly number[]): Spread | null {
  if (values.length === 0) return null;
  const sorted = Float64Array.from(values).sort();
  return { median: quantileSorted(sorted, 0.5), p95: quantileSorted(sorted, 0.95), n: values.length };
}

/**
 * The p-quantile of values in rising order: linear between the order statistics, with the least at p = 0 and the
 * largest at p = 1.
 * @throws RangeError  on no values, or p outside [0, 1].
 * Source: definition 7 of Hyndman & Fan, The American Statistician 50 (1996), 361-365.
 */
export function quantileSorted(sorted: ArrayLike<number>, p: number): number {
  if (!(p >= 0 && p <= 1)) throw new RangeError(`p must be in [0, 1], got ${p}`);
  if (sorted.length === 0) throw new RangeError('a quantile needs at least one value');
  const at = (sorted.length - 1) * p;
  const below = Math.floor(at);
  const low = sorted[below]!;
  return below + 1 < sorted.length ? low + (at - below) * (sorted[below + 1]! - low) : low;
}
