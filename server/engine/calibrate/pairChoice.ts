import type { Segment } from '../base/log.ts';

/** For each axis the running sum, before each bin, of the turns that tilt gravity. */
export type TurnSums = readonly Float64Array[];

/** Enough pairs for the test; more would only take longer. */
const MOST_PAIRS = 56;
/**
 * For each axis this many of them are the ones that tilt gravity most: in a long log the only turn about an axis must
 * not be missed.
 */
const TELLING_PAIRS = 13;

/**
 * First bins of the pairs to use, in time order. A pair may start every half stretch; in a long log the most
 * informative ones are used, and the rest evenly spread.
 */
export function choosePairs(segments: readonly Segment[], perStretch: number, turned: TurnSums): number[] {
  const starts = segments.flatMap(({ start, end }) => {
    const count = Math.floor((2 * (end - start - 2 * perStretch)) / perStretch) + 1;
    return Array.from({ length: Math.max(0, count) }, (_, k) => start + Math.floor((k * perStretch) / 2));
  });
  if (starts.length <= MOST_PAIRS) return starts;
  const telling = new Set<number>();
  for (const sums of turned) {
    const turnOf = (start: number): number => sums[start + 2 * perStretch]! - sums[start]!;
    const most = [...starts].sort((a, b) => turnOf(b) - turnOf(a));
    for (const start of most.slice(0, TELLING_PAIRS)) telling.add(start);
  }
  const others = starts.filter((start) => !telling.has(start));
  const left = MOST_PAIRS - telling.size;
  const spread = Array.from({ length: left }, (_, k) => others[Math.floor((k * others.length) / left)]!);
  return [...telling, ...spread].sort((a, b) => a - b);
}
