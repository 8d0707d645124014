import { type Extremes, extremesOver, findExtremes } from '../../server/engine/statistics/extremes.ts';

const kept = new WeakMap<Float64Array, Extremes>();

/**
 * A channel's extremes, found once for each: staves, strip and verdicts share channels, and what is drawn beside them
 * changes. The page never writes to a channel that it shows.
 */
export function extremesOf(values: Float64Array): Extremes {
  const known = kept.get(values) ?? findExtremes(values);
  kept.set(values, known);
  return known;
}

/** The highest value of a channel, 0 included. */
export function highest(values: Float64Array): number {
  return Math.max(0, rangeOver(values)[1]!);
}

/** The lowest value of a channel, 0 included. */
export function lowest(values: Float64Array): number {
  return Math.min(0, rangeOver(values)[0]!);
}

const ranges = new WeakMap<Float64Array, Float64Array>();

function rangeOver(values: Float64Array): Float64Array {
  let range = ranges.get(values);
  if (!range) {
    range = new Float64Array(2);
    extremesOver(extremesOf(values), 0, values.length, range);
    ranges.set(values, range);
  }
  return range;
}
