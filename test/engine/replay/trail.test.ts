import { describe, expect, test } from 'vitest';
import { trailOf } from '../../../server/engine/replay/trail.ts';
import { gridOf, turningPath } from './paths.ts';

const closedAt = (length: number, ...closed: readonly [number, number][]) => {
  const out = new Uint8Array(length);
  for (const [from, to] of closed) out.fill(1, from, to);
  return out;
};

describe('trailOf', () => {
  test('is cut where the guard closes and opens; parts share their ends, the last ends at the blade', () => {
    const runs = trailOf(turningPath(200), gridOf(200), closedAt(200, [60, 100]), 150, 100_000);
    expect(runs.map(({ isClosed }) => isClosed)).toEqual([false, true, false]);
    expect(runs.map(({ ageUs }) => [ageUs[0], ageUs.at(-1)])).toEqual([
      [100_000, 90_000],
      [90_000, 50_000],
      [50_000, 0],
    ]);
    for (const [k, run] of runs.slice(1).entries())
      expect([...run.points.slice(0, 3)]).toEqual([...runs[k]!.points.slice(-3)]);
    expect(runs.at(-1)!.points.at(-3)).toBeCloseTo(Math.cos((150 * Math.PI) / 180), 6);
  });

  test('begins behind a gap, for the heading is another there', () => {
    const runs = trailOf(turningPath(300), gridOf(200, 100), closedAt(300), 220, 10e6);
    expect(runs.map(({ ageUs }) => [ageUs[0], ageUs.at(-1)])).toEqual([[20_000, 0]]);
  });

  test('at the first sample behind a gap there is none', () => {
    expect(trailOf(turningPath(300), gridOf(200, 100), closedAt(300), 200)).toEqual([]);
  });

  test('a long one is thinned out, at places that stay as it moves on', () => {
    const [grid, path, closed] = [gridOf(5000), turningPath(5000), closedAt(5000)];
    const agesAt = (index: number) => trailOf(path, grid, closed, index)[0]!.ageUs;
    expect(agesAt(3000).length).toBeLessThan(320);
    const places = (index: number) => [...agesAt(index)].slice(1, -1).map((age) => index - age / 1000);
    const next = new Set(places(3001));
    expect(places(3000).filter((place) => !next.has(place)).length).toBeLessThan(2);
  });
});
