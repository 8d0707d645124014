import type { Segment } from '../base/log.ts';
import { type BladePath, tipAt } from '../motion/bladePath.ts';
import { trailOf } from './trail.ts';

/** The blade at one moment with the trail of its tip, small enough to be kept. */
export interface StillBlade {
  /** Where the tip points, and the points of its trail, three coordinates each, in blade lengths; z is up. */
  readonly tip: readonly number[];
  /** Parts in which the guard stays as it is, oldest first. */
  readonly trail: readonly { readonly isClosed: boolean; readonly points: readonly number[] }[];
}

/** Points of a trail that are kept, about. */
const POINTS = 50;

/** @param closed  1 where the guard is closed. */
export function stillBlade(
  path: Pick<BladePath, 'q'>,
  timeline: { readonly timeUs: Float64Array; readonly segments: readonly Segment[] },
  closed: Uint8Array,
  index: number,
): StillBlade {
  const runs = trailOf(path, timeline, closed, index);
  const all = runs.reduce((sum, { points }) => sum + points.length / 3, 0);
  const every = Math.max(1, Math.floor(all / POINTS));
  return {
    tip: Array.from(tipAt(path, index), rounded),
    trail: runs.map(({ isClosed, points }) => ({ isClosed, points: thinned(points, every) })),
  };
}

/** Every so many points, and both ends. */
function thinned(points: Float32Array, every: number): number[] {
  const last = points.length / 3 - 1;
  const kept: number[] = [];
  for (let k = 0; k <= last; ++k)
    if (k % every === 0 || k === last) kept.push(...Array.from(points.subarray(3 * k, 3 * k + 3), rounded));
  return kept;
}

function rounded(value: number): number {
  return Math.round(value * 1000) / 1000;
}
