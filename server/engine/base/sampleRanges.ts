import { firstAtOrAfter } from '../statistics/sorted.ts';
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
