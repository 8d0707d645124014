import { describe, expect, test } from 'vitest';
import { stepsOf } from '../../../server/engine/choose/cost.ts';
import { GUARD } from '../../../server/engine/choose/guardProblem.ts';
import { quietSpans, sweepClosed } from '../../../server/engine/choose/quiet.ts';
import { type GuardGrid, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import { scoreGuard } from '../../../server/engine/score/guardScore.ts';
import { openSamples } from '../../../server/engine/score/openShare.ts';
import { fc } from '../properties.ts';
import { drawnTake, guard } from './drawnTake.ts';

const axes = { xs: [90, 200, 310, 450], ys: [0, 100, 250, 700] };

test('the sum over takes equals, in every cell, a naive loop that runs and scores the guard on each take', () => {
  fc.assert(
    fc.property(fc.nat(), fc.constantFrom(1, 0.5), (seed, releaseRatio) => {
      const takes = [drawnTake(seed), drawnTake(seed + 1), drawnTake(seed + 2)];
      const base = guard({ releaseRatio });
      const sum = GUARD.sum(takes.map((take) => sweepTake(take, base, axes)));
      axes.xs.forEach((speedDps, s) => {
        axes.ys.forEach((holdMs, h) => {
          const cell = s * axes.ys.length + h;
          const settings = { ...base, speedDps, holdMs };
          const scores = takes.map(({ signals, presses, labels, truth }) => {
            const closed = runGuard(signals, settings);
            const verdicts = judgePresses(signals, closed, presses, settings);
            return scoreGuard({ signals, closed, verdicts, labels, spinning: truth.spinning, settings });
          });
          const total = (of: (score: (typeof scores)[number]) => number) =>
            scores.reduce((all, score) => all + of(score), 0);
          expect(sum.sizes.strays).toBe(total((score) => score.falseAccepts.n));
          expect(sum.wrong.strays[cell]).toBe(total((score) => score.falseAccepts.k));
          expect(sum.wrong.wanted[cell]).toBe(total((score) => score.falseRejects.k));
          const openS = total((score) => (score.openShare ?? 0) * score.spinningS);
          expect(sum.openShare[cell]).toBeCloseTo(openS / sum.sizes.spinningS, 12);
          const waits = scores.flatMap((score) => score.waitAfterStopMs?.median ?? []);
          expect(sum.timesMs.waitMedianMs[cell]).toBe(waits.length === 0 ? Number.NaN : Math.max(...waits));
        });
      });
    }),
    { numRuns: 25 },
  );
});

test('no grid, and grids over different settings, are refused', () => {
  const take = drawnTake(1);
  const grid = sweepTake(take, guard(), axes);
  expect(() => GUARD.sum([])).toThrow('no grid');
  expect(() => GUARD.sum([grid, sweepTake(take, guard(), { ...axes, ys: [0, 100, 250, 800] })])).toThrow(
    'different settings',
  );
  expect(() => GUARD.sum([grid, sweepTake(take, guard(), { ...axes, xs: [...axes.xs, 900] })])).toThrow(
    'different settings',
  );
});

test('a take that does not spin leaves the share of the others as it is; of such takes alone there is none', () => {
  const spins = sweepTake(drawnTake(1), guard(), axes);
  const take = drawnTake(2);
  const still = sweepTake({ ...take, truth: { ...take.truth, spinning: [] } }, guard(), axes);
  GUARD.sum([spins, still]).openShare.forEach((share, cell) => {
    expect(share).toBeCloseTo(spins.openShare[cell]!, 12);
  });
  expect([...GUARD.sum([still, still]).openShare].every(Number.isNaN)).toBe(true);
});

describe('quiet time', () => {
  const swing = (startUs: number, endUs: number) => ({ startUs, endUs });

  test('is what lies outside swings and spins, from a second after to 0.3 s before', () => {
    const truth = { swings: [swing(2_000_000, 2_500_000)], spinning: [swing(6_000_000, 9_000_000)] };
    expect(quietSpans(truth as never, 12_000_000)).toEqual([
      { startUs: 0, endUs: 1_700_000 },
      { startUs: 3_500_000, endUs: 5_700_000 },
      { startUs: 10_000_000, endUs: 12_000_000 },
    ]);
  });

  test('is the whole take where nothing swings, and none where all of it spins', () => {
    expect(quietSpans({ swings: [], spinning: [] }, 5_000_000)).toEqual([{ startUs: 0, endUs: 5_000_000 }]);
    expect(quietSpans({ swings: [], spinning: [swing(0, 9_000_000)] }, 5_000_000)).toEqual([]);
  });

  test('closed samples in it equal, in every cell, those of a run', () => {
    fc.assert(
      fc.property(fc.nat(), fc.constantFrom(1, 0.4), (seed, releaseRatio) => {
        const { signals, truth } = drawnTake(seed);
        const spans = quietSpans(truth, signals.timeUs.at(-1)! + 1);
        const [speedsDps, holdsMs] = [Float64Array.from(axes.xs), Float64Array.from(axes.ys)];
        const { closed, total } = sweepClosed({ signals, spans, releaseRatio, speedsDps, holdsMs });
        axes.xs.forEach((speedDps, s) => {
          axes.ys.forEach((holdMs, h) => {
            const run = runGuard(signals, guard({ speedDps, holdMs, releaseRatio }));
            const naive = openSamples(signals, run, spans);
            expect(total).toBe(naive.total);
            expect(closed[s * axes.ys.length + h]).toBe(naive.total - naive.open);
          });
        });
      }),
      { numRuns: 40 },
    );
  });
});

const NONE = new Int32Array(4);

describe('the cost of a setting', () => {
  const costOf = (change: Partial<GuardGrid['wrong']>) =>
    GUARD.cost(
      {
        xs: Float64Array.of(80, 90),
        ys: Float64Array.of(0, 100),
        sizes: { strays: 10, wanted: 10, reversals: 40, quietS: 10 },
        wrong: { strays: NONE, wanted: NONE, reversals: NONE, quietS: NONE, ...change },
        timesMs: {},
      },
      0,
    );

  test('a speed at which nothing counts as a swing is no candidate', () => {
    expect([...costOf({})]).toEqual([Number.NaN, Number.NaN, 0, 0]);
  });

  test('one wrong press outweighs all reversals and all quiet time', () => {
    const cost = costOf({
      wanted: Int32Array.of(0, 0, 1, 0),
      reversals: Int32Array.of(0, 0, 0, 40),
      quietS: Float64Array.of(0, 0, 0, 10),
    });
    expect(cost[2]!).toBeGreaterThan(cost[3]!);
  });

  test('a stray let through and a wanted press refused weigh alike', () => {
    const cost = costOf({ strays: Int32Array.of(0, 0, 1, 0), wanted: Int32Array.of(0, 0, 0, 1) });
    expect(cost[2]).toBe(cost[3]);
  });

  test.each([
    [0, 40, 0],
    [1, 40, 0],
    [2, 40, 1],
    [3, 40, 1],
    [4, 40, 2],
    [1, 19, 1],
    [0.49, 10, 0],
    [0.5, 10, 1],
    [0, 0, 0],
  ])('%d of %d are %d steps of 1 in 20', (part, whole, steps) => expect(stepsOf(part, whole)).toBe(steps));
});
