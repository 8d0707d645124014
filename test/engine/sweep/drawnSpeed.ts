import type { Segment } from '../../../server/engine/base/log.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';
import { splitAt } from '../detect/traces.ts';

/** A speed drawn from a seed: swings and pauses, then noise, some NaN and a lag for the causal one; gaps or none. */
export function drawnSpeed(seed: number, length: number) {
  const random = seededRandom(seed);
  const normal = seededNormal(seed + 1);
  const trueSpeed: number[] = [];
  while (trueSpeed.length < length) {
    const part = 1 + Math.floor(random() * 50);
    const peak = random() < 0.4 ? 0 : random() * 700;
    for (let i = 0; i < part; ++i) trueSpeed.push(Math.abs(peak * Math.sin((Math.PI * i) / part)));
  }
  trueSpeed.length = length;
  const lag = Math.floor(random() * 4);
  const speed = trueSpeed.map((_, i) => {
    if (random() < 0.01) return Number.NaN;
    return Math.abs(trueSpeed[Math.max(0, i - lag)]! + 15 * normal());
  });
  const segments: Segment[] = random() < 0.5 ? [{ start: 0, end: length }] : longSegments(length, random);
  return { speed, trueSpeed, segments, random };
}

function longSegments(length: number, random: () => number): Segment[] {
  const cuts = { next: () => ({ value: Math.floor(random() * 1e6), done: false }) };
  const parts = splitAt(length, cuts as Iterator<number>);
  const joined: Segment[] = [];
  for (let i = 0; i < parts.length; i += 6) {
    joined.push({ start: parts[i]!.start, end: parts[Math.min(parts.length, i + 6) - 1]!.end });
  }
  return joined;
}
