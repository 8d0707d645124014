import type { Segment } from '../../../server/engine/base/log.ts';
import { fc } from '../properties.ts';

/** Speeds about the thresholds that the tests use, with exact hits, and NaN; at least one sample. */
export const rateTrace: fc.Arbitrary<number[]> = fc.array(
  fc.oneof(
    { weight: 5, arbitrary: fc.constantFrom(0, 12, 100, 143.9, 144, 200, 239.9, 240, 300, 900) },
    { weight: 3, arbitrary: fc.double({ min: 0, max: 500, noNaN: true }) },
    { weight: 1, arbitrary: fc.constant(Number.NaN) },
  ),
  { minLength: 1, maxLength: 60 },
);

/** Random segments, none empty, that cover `length` samples. */
export function splitAt(length: number, cuts: Iterator<number>): Segment[] {
  const segments: Segment[] = [];
  for (let start = 0; start < length; ) {
    const end = Math.min(length, start + 1 + (Number(cuts.next().value) % 25));
    segments.push({ start, end });
    start = end;
  }
  return segments;
}
