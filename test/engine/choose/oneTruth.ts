import { expect } from 'vitest';
import { bordersOf } from '../../../server/engine/choose/borders.ts';
import type { Weighing } from '../../../server/engine/choose/problem.ts';
import { suggestOn } from '../../../server/engine/choose/suggest.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { roomText } from '../../../server/engine/words/choose/suggestion.ts';

/**
 * A suggestion's room, its margins and its borders agree: all that was tried within the room is as good, it ends within both
 * margins, and what a border says is worse lies outside it. Looked at cell by cell. Returns the room.
 */
export function expectOneTruth(problem: Weighing, grid: SweepGrid): number {
  const suggestion = suggestOn(problem, grid);
  const { x, y, cell, plateau } = suggestion;
  const cost = problem.cost(grid, plateau.tightRoom === null ? 0 : 1);
  const { triedRoom, room, xMargin, yMargin } = plateau;
  expect(triedRoom).toBeLessThanOrEqual(room);
  // What the sentence says is a whole percent, and at most 20.
  const share = Math.floor(100 * Math.min(triedRoom, 0.2) + 1e-9) / 100;
  const [xs, ys] = [within([...grid.xs], x, share), within([...grid.ys], y, share)];
  for (const i of xs) {
    for (const j of ys) expect(cost[i * grid.ys.length + j]).toBe(cost[cell]);
  }
  for (const [margin, values, indices] of [
    [xMargin, grid.xs, xs],
    [yMargin, grid.ys, ys],
  ] as const) {
    expect(values[indices[0]!]!).toBeGreaterThanOrEqual(margin.low);
    expect(values[indices.at(-1)!]!).toBeLessThanOrEqual(margin.high);
  }
  for (const { axis, beyond } of bordersOf(problem, suggestion, grid)) {
    if (beyond === null) continue;
    const own = axis === 'x' ? x : y;
    expect(Math.abs(beyond - own)).toBeGreaterThan(share * own - 1e-9);
  }
  const words = roomText(problem.kind, suggestion);
  expect(words).toContain(share === 0 ? 'One step further' : `by ${Math.round(100 * share)} % at once`);
  return share;
}

/** The values that hold between them all that lies within a share of one: up to the first at or past each end. */
function within(values: readonly number[], own: number, share: number): number[] {
  const low = values.findLastIndex((value) => value <= own * (1 - share) + 1e-9);
  const high = values.findIndex((value) => value >= own * (1 + share) - 1e-9);
  const [from, to] = [Math.max(0, low), high < 0 ? values.length - 1 : high];
  return Array.from({ length: to - from + 1 }, (_, k) => from + k);
}
