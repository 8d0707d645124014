import { expect, test } from 'vitest';
import {
  type FrontPoint,
  paretoFront,
  pointsOf,
  RELEASE_RATIOS,
  sweepHysteresis,
  sweepPlain,
} from '../../../server/engine/choose/tradeOff.ts';
import { sweepGuard } from '../../../server/engine/sweep/guardSweep.ts';
import { fc } from '../properties.ts';
import { drawnTake, guard } from './drawnTake.ts';

const point = (x: number, y: number): FrontPoint => ({ x, y, speedDps: 1, holdMs: 0, releaseRatio: 1 });

test('a front holds just the points that no other beats in one respect and equals in the other', () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.nat(8), fc.nat(8)), { maxLength: 40 }), (pairs) => {
      const front = paretoFront(pairs.map(([x, y]) => point(x, y))).map(({ x, y }) => `${x} ${y}`);
      const naive = pairs.filter(([x, y]) => !pairs.some(([a, b]) => a <= x && b <= y && (a < x || b < y)));
      expect(new Set(front)).toEqual(new Set(naive.map(([x, y]) => `${x} ${y}`)));
      expect(front.length).toBe(new Set(front).size);
    }),
  );
});

test('points carry the setting of their cell, and leave out what is not known, and what is no swing', () => {
  const sweep = {
    xs: Float64Array.of(80, 100, 200),
    ys: Float64Array.of(0, 50),
    wrong: { strays: Int32Array.of(9, 9, 1, 2, 3, 4) },
    openShare: new Float64Array(6),
    timesMs: { waitMedianMs: Float64Array.of(1, 1, 10, Number.NaN, 30, 40) },
  } as never;
  const points = pointsOf(sweep, 0.5, (one, cell) => [
    one.timesMs.waitMedianMs[cell]!,
    one.wrong.strays[cell]!,
  ]);
  expect(points).toEqual([
    { x: 10, y: 1, speedDps: 100, holdMs: 0, releaseRatio: 0.5 },
    { x: 30, y: 3, speedDps: 200, holdMs: 0, releaseRatio: 0.5 },
    { x: 40, y: 4, speedDps: 200, holdMs: 50, releaseRatio: 0.5 },
  ]);
});

test('the families are sweeps with no hold at each ratio, and with a ratio of 1', () => {
  const take = drawnTake(9);
  const { signals, presses, labels, truth } = take;
  const axes = { xs: [100, 200, 400], ys: [0, 100] };
  const args = { signals, presses, labels, spinning: truth.spinning, xs: axes.xs };
  const base = guard({ releaseRatio: 0.7 });
  expect(sweepPlain(take, base, axes)).toEqual(
    sweepGuard({ ...args, ys: [0, 100], base: { ...base, releaseRatio: 1 } }),
  );
  expect(sweepHysteresis(take, base, axes)).toEqual(
    RELEASE_RATIOS.map((releaseRatio) => sweepGuard({ ...args, ys: [0], base: { ...base, releaseRatio } })),
  );
});
