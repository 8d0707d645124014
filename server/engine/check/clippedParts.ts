import type { MotionLog, Segment, UniformLog } from '../base/log.ts';
import { firstAfter, firstAtOrAfter } from '../statistics/sorted.ts';
import type { Clipping } from './clipping.ts';

/** Marks on the grid of a log: 1 between the sound samples on either side of a clipped run, as in `buildTimeBase`. */
export function markClipped(timeUs: Float64Array, raw: MotionLog, found: readonly Clipping[]): Uint8Array {
  const marks = new Uint8Array(timeUs.length);
  for (const { start, end } of found.flatMap(({ runs }) => runs)) {
    const first = start === 0 ? 0 : firstAfter(timeUs, raw.timeUs[start - 1]!);
    const after = end === raw.timeUs.length ? timeUs.length : firstAtOrAfter(timeUs, raw.timeUs[end]!);
    marks.fill(1, first, Math.max(first, after));
  }
  return marks;
}

/** A log cut at its marked samples, for computations that may not look across them; the marks count as saturated. */
export function soundParts(log: UniformLog, marks: Uint8Array): UniformLog {
  const segments: Segment[] = [];
  for (const { start, end } of log.segments) {
    let from = -1;
    for (let i = start; i <= end; ++i) {
      const isSound = i < end && marks[i] === 0;
      if (isSound && from < 0) from = i;
      if (isSound || from < 0) continue;
      segments.push({ start: from, end: i });
      from = -1;
    }
  }
  return { ...log, segments, saturated: marks };
}
