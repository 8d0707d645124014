import { describe, expect, test } from 'vitest';
import { bordersOf } from '../../../server/engine/choose/borders.ts';
import { lostBeyond, wrongEvents } from '../../../server/engine/choose/checkTake.ts';
import { leaveOut } from '../../../server/engine/choose/leaveOut.ts';
import { plateauOf, suggestOn } from '../../../server/engine/choose/suggest.ts';
import { type SweepGrid, sumGrids } from '../../../server/engine/sweep/grid.ts';
import { borderText } from '../../../server/engine/words/choose/suggestion.ts';
import { DRAWN } from './drawnProblems.ts';
import { expectOneTruth } from './oneTruth.ts';

const LEAST_EVENTS = 5;

const SEEDS = [1, 2, 3, 4, 5, 6];

describe.each(DRAWN)('$kind on drawn takes', ({ kind, problem, axes, take }) => {
  const takes = SEEDS.map(take);
  const grids = takes.map(({ grid }) => grid);
  const total = sumGrids(grids);
  const errors = problem.errors.flat();
  const wrongIn = (grid: SweepGrid, cell: number) =>
    errors.reduce((sum, part) => sum + grid.wrong[part]![cell]!, 0);

  test('what a run gets wrong at a setting is as much as its cell counts, and each of it has its moment', () => {
    let wrong = 0;
    takes.forEach(({ judge }, t) => {
      axes.xs.forEach((x, i) => {
        axes.ys.forEach((y, j) => {
          const events = wrongEvents(judge(x, y));
          const cell = i * axes.ys.length + j;
          for (const part of errors)
            expect(events.filter((one) => one.part === part).length).toBe(grids[t]!.wrong[part]![cell]);
          wrong += events.length;
        });
      });
    });
    expect(wrong).toBeGreaterThan(20);
  });

  test('no setting that may be suggested costs less than the one suggested', () => {
    for (const grid of [...grids, total]) {
      const { cell, wrong, plateau, x, y } = suggestOn(problem, grid);
      const cost = problem.cost(grid, plateau.tightRoom === null ? 0 : 1);
      expect(cost[cell]).toBe(Math.min(...[...cost].filter((value) => !Number.isNaN(value))));
      expect([grid.xs[plateau.xIndex], grid.ys[plateau.yIndex]]).toEqual([x, y]);
      expect(plateau.region[cell]).toBe(1);
      for (const part of Object.keys(problem.sizeOf)) expect(wrong[part]!.k).toBe(grid.wrong[part]![cell]);
    }
  });

  test('room, margins and borders are one truth', () => {
    for (const grid of [...grids, total]) expectOneTruth(problem, grid);
  });

  test.each(['take', 'performer'] as const)(
    'each %s left out: chosen on the others alone where these suffice, scored on this one',
    (by) => {
      const parts = takes.map((one, i) => {
        const key = by === 'take' ? one.title : one.performer;
        return { key, name: key, grid: grids[i]! };
      });
      const held = leaveOut(problem, parts)!;
      expect(held.folds.map(({ name }) => name)).toEqual([...new Set(parts.map(({ key }) => key))]);
      const sumOf = (isIn: (key: string) => boolean) =>
        sumGrids(parts.filter(({ key }) => isIn(key)).map(({ grid }) => grid));
      const badness = held.folds.map(({ name, setting, lack, wrong }) => {
        const [own, rest] = [sumOf((key) => key === name), sumOf((key) => key !== name)];
        const isEnough = problem.needs.every((size) => rest.sizes[size]! >= LEAST_EVENTS);
        expect([setting !== null, lack === null]).toEqual([isEnough, isEnough]);
        if (setting === null) return 0;
        const { plateau, cell } = plateauOf(problem, rest);
        expect(setting).toEqual({ x: plateau.x, y: plateau.y });
        for (const part of problem.heldOut) {
          expect(wrong[part]!.k).toBe(own.wrong[part]![cell]);
          expect(wrong[part]!.n).toBeCloseTo(own.sizes[problem.sizeOf[part]!]!, 9);
        }
        return wrongIn(own, cell);
      });
      const worst = errors.reduce((sum, part) => sum + held.worst!.wrong[part]!.k, 0);
      expect(worst).toBe(Math.max(...badness));
      expect(errors.reduce((sum, part) => sum + held.wrong[part]!.k, 0)).toBe(
        badness.reduce((sum, one) => sum + one, 0),
      );
    },
  );

  test('one group leaves nothing to choose on', () => {
    const part = { key: 'a', name: 'A', grid: grids[0]! };
    expect(leaveOut(problem, [part])).toBe(null);
    expect(leaveOut(problem, [part, part])).toBe(null);
  });

  test.each(problem.needs)('others with too few %s decide no more than a suggestion would', (size) => {
    const enough = { ...grids[0]!, sizes: { ...grids[0]!.sizes } };
    for (const one of problem.needs) Object.assign(enough.sizes, { [one]: LEAST_EVENTS });
    for (const have of [0, LEAST_EVENTS - 1, LEAST_EVENTS]) {
      const grid = { ...enough, sizes: { ...enough.sizes, [size]: have } };
      const [fold] = leaveOut(problem, [
        { key: 'a', name: 'A', grid: enough },
        { key: 'b', name: 'B', grid },
      ])!.folds;
      expect(fold!.lack).toEqual(have < LEAST_EVENTS ? { size, have } : null);
      expect(fold!.setting === null).toBe(have < LEAST_EVENTS);
    }
  });

  test('a step beyond each border costs more, by what is said, and names a moment', () => {
    let steps = 0;
    [...takes.map((one) => [one]), takes].forEach((some) => {
      const grid = sumGrids(some.map((one) => one.grid));
      const suggestion = suggestOn(problem, grid);
      const { x, y, cell } = suggestion;
      const borders = bordersOf(problem, suggestion, grid);
      expect(borders.map(({ axis, by }) => `${axis} ${by}`)).toEqual(['x -1', 'x 1', 'y -1', 'y 1']);
      const lost = some.flatMap(({ title, judge }) => {
        const checked = {
          at: (_: unknown, atX: number, atY: number) => [atX, atY] as const,
          judge: (_: unknown, [atX, atY]: readonly [number, number]) => judge(atX, atY),
        };
        return lostBeyond<string, readonly [number, number], never, never>(
          checked as never,
          { id: title, title } as never,
          [x, y],
          { x, y },
          borders,
        );
      });
      for (const border of borders) {
        const { axis, by, beyond, worse } = border;
        const own = lost.filter((one) => one.axis === axis && one.by === by);
        if (beyond === null) {
          expect(own).toEqual([]);
          continue;
        }
        ++steps;
        const index = {
          x: grid.xs.indexOf(x),
          y: grid.ys.indexOf(y),
          [axis]: grid[`${axis}s`].indexOf(beyond),
        };
        const there = index.x * grid.ys.length + index.y;
        expect(Object.values(worse).reduce((sum, count) => sum + count, 0)).toBeGreaterThan(0);
        for (const part of errors) {
          expect(worse[part]).toBe(grid.wrong[part]![there]! - grid.wrong[part]![cell]!);
          // What is lost may be made up for elsewhere: there are at least as many as the count rises by.
          expect(own.filter((one) => one.part === part).length).toBeGreaterThanOrEqual(worse[part]!);
        }
        expect(borderText(kind, border, lost)).toMatch(/^(Above|Below) [^:]+: \d.*\.$/);
        if (errors.some((part) => worse[part]! > 0))
          expect(borderText(kind, border, lost)).toMatch(/ \(Take \d+, [\d.]+ s\)\.$/);
      }
    });
    expect(steps).toBeGreaterThan(5);
  });
});
