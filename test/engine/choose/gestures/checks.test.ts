import { describe, expect, test } from 'vitest';
import { gestureBorders, lostGestures } from '../../../../server/engine/choose/gestures/borders.ts';
import { joinGrids, suggestGesture } from '../../../../server/engine/choose/gestures/choice.ts';
import { checkGestureHeldOut } from '../../../../server/engine/choose/gestures/heldOut.ts';
import { GESTURE_MAPS, withXY } from '../../../../server/engine/choose/gestures/maps.ts';
import { wrongGestures } from '../../../../server/engine/choose/gestures/verdicts.ts';
import { AXES, base, drawnTake, gridOf } from './drawnTakes.ts';

const takes = [1, 2, 3, 4, 5].map(drawnTake);
const NAMES = ['missed', 'again', 'outside'] as const;

describe.each(GESTURE_MAPS)('%s', (kind) => {
  const grids = takes.map((take) => gridOf(take, kind));
  const total = grids.reduce(joinGrids);

  test('what goes wrong at a setting is as much as its cell counts, and each of it has its moment', () => {
    const { xs, ys } = AXES[kind];
    takes.forEach((take, t) => {
      xs.forEach((x, i) => {
        ys.forEach((y, j) => {
          const wrong = wrongGestures(take, kind, withXY(base, kind, x, y));
          const counts = NAMES.map((name) => wrong.filter((one) => one.kind === name).length);
          expect(counts).toEqual(NAMES.map((name) => grids[t]![name][i * ys.length + j]));
          expect(wrong.map(({ atUs }) => atUs)).toEqual(wrong.map(({ atUs }) => atUs).sort((a, b) => a - b));
        });
      });
    });
  });

  test.each([
    ['take', (i: number) => `take ${i}`],
    ['performer', (i: number) => takes[i]!.performer],
  ] as const)('each %s left out: chosen on the others alone, scored on this one', (_what, keyOf) => {
    const parts = grids.map((grid, i) => ({ key: keyOf(i), name: keyOf(i), grid }));
    const held = checkGestureHeldOut(kind, parts)!;
    expect(held.folds.length).toBeGreaterThan(1);
    for (const fold of held.folds) {
      const own = parts
        .filter(({ key }) => key === fold.name)
        .map(({ grid }) => grid)
        .reduce(joinGrids);
      const rest = parts
        .filter(({ key }) => key !== fold.name)
        .map(({ grid }) => grid)
        .reduce(joinGrids);
      const { x, y, cell } = suggestGesture(kind, rest);
      expect(fold.setting).toEqual({ x, y });
      for (const name of NAMES) expect(fold[name].k).toBe(own[name][cell]);
      expect(fold.missed.n).toBe(own.gestures);
      expect(fold.outside.n).toBeCloseTo(own.outsideS, 9);
    }
    expect(held.missed.k).toBe(held.folds.reduce((sum, { missed }) => sum + missed.k, 0));
    const badness = held.folds.map(({ missed, again, outside }) => missed.k + again.k + outside.k);
    const { missed, again, outside } = held.worst!;
    expect(missed.k + again.k + outside.k).toBe(Math.max(...badness));
  });

  test('a step over a border loses what the counts there say', () => {
    const suggestion = suggestGesture(kind, total);
    const borders = gestureBorders(suggestion, total);
    expect(borders.map(({ axis, by }) => `${axis} ${by}`)).toEqual(['x -1', 'x 1', 'y -1', 'y 1']);
    const lost = takes.flatMap((take) => lostGestures(take, kind, base, suggestion, borders));
    for (const border of borders) {
      const own = lost.filter(({ axis, by }) => axis === border.axis && by === border.by);
      if (border.beyond === null) expect(own).toEqual([]);
      // What is lost may be made up for elsewhere: there are at least as many as the count rises by.
      for (const name of NAMES)
        expect(own.filter((one) => one.kind === name).length).toBeGreaterThanOrEqual(border[name]);
      if (border.beyond !== null) expect(border.missed + border.again + border.outside).toBeGreaterThan(0);
    }
  });
});

test('where the others hold no gesture, nothing is chosen, and why is told', () => {
  const [drawn, ...others] = takes.map((take) => gridOf(take, 'stab'));
  const first = { ...drawn!, gestures: 5, others: 5 };
  const bare = others.map((grid) => ({ ...grid, gestures: 0 }));
  const held = checkGestureHeldOut('stab', [
    { key: 'a', name: 'A', grid: first },
    ...bare.map((grid, i) => ({ key: `b${i}`, name: `B${i}`, grid })),
  ])!;
  expect(held.folds[0]).toMatchObject({ setting: null, why: 'the others hold no thrust to choose by' });
  expect(held.folds[1]!.setting).not.toBe(null);
  expect(checkGestureHeldOut('stab', [{ key: 'a', name: 'A', grid: first }])).toBe(null);
});

test.each([
  [4, 9, 'the others hold 4 thrusts, too few to choose by: it takes 5'],
  [9, 1, 'the others hold 1 other movement, too few to choose by: it takes 5'],
  [9, 0, 'the others hold no other movement to choose by'],
  [5, 5, null],
])(
  'others with %d gestures and %d other movements decide no more than a suggestion would',
  (gestures, more, why) => {
    const [own, rest] = takes.map((take) => gridOf(take, 'stab'));
    const held = checkGestureHeldOut('stab', [
      { key: 'a', name: 'A', grid: own! },
      { key: 'b', name: 'B', grid: { ...rest!, gestures, others: more } },
    ])!;
    expect(held.folds[0]!.why).toBe(why);
    expect(held.folds[0]!.setting === null).toBe(why !== null);
  },
);
