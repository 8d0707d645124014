import { quatFromVectorRad } from '../../../server/engine/base/quat.ts';
import type { BladePath } from '../../../server/engine/motion/bladePath.ts';

/** A blade that turns about the vertical by a degree a sample, from x on; level. */
export function turningPath(samples: number): BladePath {
  const q = new Float32Array(4 * samples);
  for (let i = 0; i < samples; ++i) q.set(quatFromVectorRad(0, 0, (i * Math.PI) / 180), 4 * i);
  return { q, unsure: [] };
}

/** A grid of 1 ms with a gap of a second between segments of these lengths. */
export function gridOf(...lengths: readonly number[]) {
  const segments: { start: number; end: number }[] = [];
  const times: number[] = [];
  let atUs = 0;
  for (const length of lengths) {
    segments.push({ start: times.length, end: times.length + length });
    for (let i = 0; i < length; ++i) times.push(atUs + 1000 * i);
    atUs = times.at(-1)! + 1e6;
  }
  return { timeUs: Float64Array.from(times), segments };
}
