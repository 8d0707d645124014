import type { Segment, Span } from './log.ts';

/**
 * The samples inside spans: a span holds those with startUs <= timeUs < endUs. Ranges come in time order, none empty,
 * and a sample in two spans comes once.
 */
export function sampleRanges(timeUs: Float64Array, spans: readonly Span[]): Segment[] {
  const ranges: Segment[] = [];
  let done = 0;
  for (const { startUs, endUs } of [...spans].sort((a, b) => a.startUs - b.startUs)) {
    const start = Math.max(done, firstAtOrAfter(timeUs, startUs));
    const end = firstAtOrAfter(timeUs, endUs);
    if (end > start) {
      ranges.push({ start, end });
      done = end;
    }
  }
  return ranges;
}

/** The first index with timeUs[index] >= momentUs; timeUs.length where there is none. */
export function firstAtOrAfter(timeUs: Float64Array, momentUs: number): number {
  let low = 0;
  let high = timeUs.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (timeUs[middle]! < momentUs) low = middle + 1;
    else high = middle;
  }
  return low;
}
