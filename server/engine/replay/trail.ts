import type { Segment } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import { type BladePath, tipAt } from '../motion/bladePath.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';

/** Length of the trail behind the tip. */
export const TRAIL_US = 1_500_000;
/** Points that a trail is drawn with, at most about twice. */
const POINTS = 150;

/** A part of the trail in which the guard stays as it is, oldest point first; parts share the points between them. */
export interface TrailRun {
  readonly isClosed: boolean;
  /** Three coordinates a point, in blade lengths. */
  readonly points: Float32Array;
  /** Age of each point. */
  readonly ageUs: Float32Array;
}

interface Followed {
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
}

/**
 * The way of the tip up to a sample, cut where the guard opens or closes. It begins at the gap if there is one: behind a
 * gap the heading is another.
 * @param closed  1 where the guard is closed.
 */
export function trailOf(
  path: Pick<BladePath, 'q'>,
  { timeUs, segments }: Followed,
  closed: Uint8Array,
  index: number,
  trailUs: number = TRAIL_US,
): TrailRun[] {
  const { start } = segmentAt(segments, index);
  const first = Math.max(start, firstAtOrAfter(timeUs, timeUs[index]! - trailUs));
  // Places in the log, not counted from the playhead: the points stand still while the trail moves on.
  const every = Math.max(1, Math.floor((index - first) / POINTS));
  const runs: TrailRun[] = [];
  let from = first;
  for (let i = first + 1; i <= index; ++i) {
    if (closed[i] === closed[from] && i < index) continue;
    runs.push(runOf(path, timeUs, { from, to: i, every, index }, closed[from] === 1));
    from = i;
  }
  return runs;
}

function runOf(
  path: Pick<BladePath, 'q'>,
  timeUs: Float64Array,
  at: { readonly from: number; readonly to: number; readonly every: number; readonly index: number },
  isClosed: boolean,
): TrailRun {
  const { from, to, every, index } = at;
  const kept: number[] = [];
  for (let i = from; i <= to; ++i) if (i === from || i === to || i % every === 0) kept.push(i);
  const points = new Float32Array(3 * kept.length);
  const tip = new Float64Array(3);
  for (const [k, i] of kept.entries()) points.set(tipAt(path, i, tip), 3 * k);
  return { isClosed, points, ageUs: Float32Array.from(kept, (i) => timeUs[index]! - timeUs[i]!) };
}
