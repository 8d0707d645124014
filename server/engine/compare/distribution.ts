import { firstAtOrAfter } from '../statistics/sorted.ts';
/**
 * The part of the values that lies below x, 0 to 1; null where there are none.
 * @param sorted  rising.
 */
export function shareBelow(sorted: Float64Array, x: number): number | null {
  return sorted.length === 0 ? null : firstAtOrAfter(sorted, x) / sorted.length;
}

/** The empirical distribution: at each x the part of the values at or below it. */
interface Steps {
  readonly x: Float64Array;
  readonly share: Float64Array;
}

/**
 * The places at which the empirical distribution steps up, one for each value that occurs; where there are more than
 * `most`, evenly spaced ones among them, with the first and the last.
 * @param sorted  rising.
 * @param most  2 or more.
 */
export function stepsOf(sorted: Float64Array, most = 400): Steps {
  if (!(most >= 2)) throw new RangeError(`most must be 2 or more, got ${most}`);
  const ends: number[] = [];
  for (let i = 0; i < sorted.length; ++i)
    if (i + 1 === sorted.length || sorted[i + 1]! > sorted[i]!) ends.push(i);
  const kept = ends.length <= most ? ends : thinned(ends, most);
  return {
    x: Float64Array.from(kept, (i) => sorted[i]!),
    share: Float64Array.from(kept, (i) => (i + 1) / sorted.length),
  };
}

function thinned(ends: readonly number[], most: number): number[] {
  return Array.from({ length: most }, (_, k) => ends[Math.round((k * (ends.length - 1)) / (most - 1))]!);
}

/** Several rising columns as one. */
export function mergeSorted(columns: readonly Float64Array[]): Float64Array {
  const out = new Float64Array(columns.reduce((sum, column) => sum + column.length, 0));
  let at = 0;
  for (const column of columns) {
    out.set(column, at);
    at += column.length;
  }
  return out.sort();
}
