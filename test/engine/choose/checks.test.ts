import { describe, expect, test } from 'vitest';
import { bordersOf, lostPresses, wrongPresses } from '../../../server/engine/choose/borders.ts';
import { LEAST_PRESSES } from '../../../server/engine/choose/decline.ts';
import { checkHeldOut } from '../../../server/engine/choose/heldOut.ts';
import { gaussianNoise } from '../../../server/engine/choose/noise.ts';
import { stressTake, sumStress } from '../../../server/engine/choose/stress.ts';
import { suggestOn } from '../../../server/engine/choose/suggest.ts';
import { sumGrids } from '../../../server/engine/choose/sumGrids.ts';
import { GUARD_AXES, sweepTake } from '../../../server/engine/choose/takeSweep.ts';
import { borderText } from '../../../server/engine/choose/words.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { fakeMotion } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { drawnTake, guard, labelled } from './drawnTake.ts';

const base = guard();
const axes = {
  speedsDps: GUARD_AXES.speedsDps.filter((_, i) => i % 6 === 1),
  holdsMs: [0, 50, 100, 200, 300, 400, 600],
};

describe('held-out check', () => {
  test('each group is scored at what is chosen on all the others, by a naive loop', () => {
    let decided = 0;
    fc.assert(
      fc.property(fc.nat(), fc.constantFrom('take' as const, 'performer' as const), (seed, by) => {
        const takes = [0, 1, 2, 3].map((k) => drawnTake(seed + k, 180));
        const parts = takes.map((take) => ({
          key: by === 'take' ? take.id : take.performer,
          name: take.title,
          grid: sweepTake(take, base, axes),
        }));
        const held = checkHeldOut(parts)!;
        const keys = [...new Set(parts.map((part) => part.key))];
        expect(held.folds.length).toBe(keys.length);
        keys.forEach((key, i) => {
          const own = sumGrids(parts.filter((part) => part.key === key).map((part) => part.grid));
          const rest = sumGrids(parts.filter((part) => part.key !== key).map((part) => part.grid));
          const fold = held.folds[i]!;
          if (fold.setting === null) {
            expect(Math.min(rest.strays, rest.wanted)).toBeLessThan(LEAST_PRESSES);
            return;
          }
          expect(Math.min(rest.strays, rest.wanted)).toBeGreaterThanOrEqual(LEAST_PRESSES);
          ++decided;
          const { speedDps, holdMs, cell } = suggestOn(rest);
          expect(fold.setting).toEqual({ speedDps, holdMs });
          expect(fold.strays).toEqual({ k: own.strayLetThrough[cell], n: own.strays });
          expect(fold.wanted).toEqual({ k: own.wantedRefused[cell], n: own.wanted });
          expect(fold.reversals).toEqual({ k: own.reversalsOpen[cell], n: own.reversals });
        });
      }),
      { numRuns: 20 },
    );
    expect(decided).toBeGreaterThan(30);
  });

  test('the sum is that of the folds, and the worst one has most presses wrong', () => {
    const takes = [5, 6, 7].map((seed) => drawnTake(seed));
    const held = checkHeldOut(
      takes.map((take) => ({ key: take.id, name: take.title, grid: sweepTake(take, base) })),
    )!;
    const wrong = held.folds.map((fold) => fold.strays.k + fold.wanted.k);
    expect(held.strays.k + held.wanted.k).toBe(wrong.reduce((sum, one) => sum + one, 0));
    expect(held.worst!.strays.k + held.worst!.wanted.k).toBe(Math.max(...wrong));
  });

  test('one take leaves nothing to choose on', () => {
    const grid = sweepTake(drawnTake(1), base);
    expect(checkHeldOut([{ key: 'a', name: 'A', grid }])).toBe(null);
    expect(
      checkHeldOut([
        { key: 'a', name: 'A', grid },
        { key: 'a', name: 'A', grid },
      ]),
    ).toBe(null);
  });

  test('where the others hold no stray press, the fold says so and is left out of the sum', () => {
    const full = drawnTake(1);
    const bare = { ...drawnTake(2), labels: EMPTY_LABELS };
    const held = checkHeldOut(
      [full, bare].map((take) => ({ key: take.id, name: take.title, grid: sweepTake(take, base) })),
    )!;
    expect(held.folds[0]).toMatchObject({
      setting: null,
      why: 'the others hold no stray press to choose by',
    });
    expect(held.folds[1]!.setting).not.toBe(null);
    expect(held.strays.n).toBe(held.folds[1]!.strays.n);
  });
});

test.each([
  [4, 9, 'the others hold 4 stray presses, too few to choose by: it takes 5'],
  [9, 1, 'the others hold 1 wanted press, too few to choose by: it takes 5'],
  [5, 5, null],
])(
  'others with %d strays and %d wanted presses decide no more than a suggestion would',
  (strays, wanted, why) => {
    const grid = sweepTake(drawnTake(1), base, axes);
    const held = checkHeldOut([
      { key: 'a', name: 'A', grid },
      { key: 'b', name: 'B', grid: { ...grid, strays, wanted } },
    ])!;
    expect(held.folds[0]!.why).toBe(why);
    expect(held.folds[0]!.setting === null).toBe(why !== null);
  },
);

describe('stress', () => {
  const none = { kind: 'none', order: 2, cutoffHz: 25, lengthMs: 25 } as const;
  // 100 Hz: half a second at each speed about z, with 200 deg/s of twist; a press in the middle of each.
  const speeds = [0, 230, 235, 243, 250, 300, 0];
  const column = (values: readonly number[]) => values.flatMap((value) => new Array<number>(50).fill(value));
  const motion = {
    ...fakeMotion(column(speeds), { rateHz: 100 }),
    gyroXDps: Float64Array.from(column(speeds.map(() => 200))),
  };
  const presses = speeds.map((_, k) => ({ button: 'power', downUs: k * 500_000 + 250_000, upUs: null }));
  const intents = ['wanted', 'stray', 'stray', 'stray', 'stray', 'stray', 'wanted'] as const;
  const take = { id: 'stairs', motion, presses, labels: labelled(presses, (i) => intents[i]!) };
  const results = stressTake(take, none, guard({ speedDps: 240 }));
  const result = (name: string) => results.find((one) => one.name === name)!;

  // 240 / 1.03 = 233.01, 240 / 0.97 = 247.4
  test('a gyro that reads 3 % more closes on what went 3 % slower, and the other way round', () => {
    expect(result('scaleUp').strayLetThrough).toBe(1);
    expect(result('scaleUp').flips.map((flip) => flip.downUs)).toEqual([presses[2]!.downUs]);
    expect(result('scaleDown').strayLetThrough).toBe(3);
    expect(result('scaleDown').flips.map((flip) => flip.downUs)).toEqual([presses[3]!.downUs]);
  });

  // the worst direction takes 200 sin 5° = 17.4 off the rate, and keeps cos 5° = 0.9962 of it
  test('a mount off by 5° mixes the twist in; of four directions the worst counts', () => {
    expect(result('mount').strayLetThrough).toBe(4);
    expect(result('mount').flips.map((flip) => flip.downUs)).toEqual([
      presses[3]!.downUs,
      presses[4]!.downUs,
    ]);
  });

  test('a bias of 2 °/s turns only what lies within 2 °/s of the border', () => {
    expect(result('bias').flips).toEqual([]);
    const near = stressTake(take, none, guard({ speedDps: 242 }));
    expect(near.find((one) => one.name === 'bias')!.flips.map((flip) => flip.downUs)).toEqual([
      presses[3]!.downUs,
    ]);
  });

  test('half the rate of a steady speed changes nothing', () => {
    expect(result('halfRate').flips).toEqual([]);
    expect(result('halfRate').strayLetThrough).toBe(2);
  });

  test('half the rate misses a peak of one sample, in one of its two phases', () => {
    const speed = new Array<number>(100).fill(0);
    speed[51] = 500;
    const peak = {
      ...take,
      motion: fakeMotion(speed, { rateHz: 100 }),
      presses: [{ button: 'power', downUs: 550_000, upUs: null }],
    };
    const labels = labelled(peak.presses, () => 'stray');
    const found = stressTake({ ...peak, labels }, none, guard({ speedDps: 240, holdMs: 100 }));
    expect(found.find((one) => one.name === 'scaleUp')!.strayLetThrough).toBe(0);
    expect(found.find((one) => one.name === 'halfRate')).toMatchObject({ strayLetThrough: 1 });
  });

  test('the same noise comes twice', () => {
    expect(stressTake(take, none, guard({ speedDps: 240 }))).toEqual(results);
  });

  test('several takes add up, stress by stress', () => {
    const twice = sumStress([results, results]);
    expect(twice.map((one) => one.strayLetThrough)).toEqual(results.map((one) => 2 * one.strayLetThrough));
    expect(twice.map((one) => one.flips.length)).toEqual(results.map((one) => 2 * one.flips.length));
  });
});

test('the noise is normal: its moments, and its part within one deviation', () => {
  const next = gaussianNoise(1);
  const values = Array.from({ length: 40_000 }, next);
  const mean = (of: (value: number) => number) =>
    values.reduce((sum, value) => sum + of(value), 0) / values.length;
  // five standard errors: 5 / sqrt(40000) = 0.025, for the square sqrt(2) and for the fourth power sqrt(96) times that
  expect(Math.abs(mean((v) => v))).toBeLessThan(0.025);
  expect(Math.abs(mean((v) => v * v) - 1)).toBeLessThan(0.036);
  expect(Math.abs(mean((v) => v ** 4) - 3)).toBeLessThan(0.25);
  expect(Math.abs(mean((v) => (Math.abs(v) < 1 ? 1 : 0)) - 0.6826894921)).toBeLessThan(0.012);
});

describe('what limits the plateau', () => {
  test('on random takes, one step beyond each border costs more, and what is said to get worse does', () => {
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const take = drawnTake(seed);
        const grid = sweepTake(take, base);
        const suggestion = suggestOn(grid);
        const { speedDps, holdMs } = suggestion;
        const borders = bordersOf(suggestion, grid);
        const lost = lostPresses(take, guard({ speedDps, holdMs }), borders);
        for (const border of borders) {
          if (border.beyond === null) continue;
          const isSpeed = border.side.endsWith('Speed');
          const there = guard(
            isSpeed ? { speedDps: border.beyond, holdMs } : { speedDps, holdMs: border.beyond },
          );
          const now = wrongPresses(take, there).size - wrongPresses(take, guard({ speedDps, holdMs })).size;
          expect(border.strays + border.wanted).toBe(now);
          expect(border.strays + border.wanted + border.reversals + border.quietS).toBeGreaterThan(0);
          if (now > 0) expect(lost.some((press) => press.side === border.side)).toBe(true);
          expect(borderText(border, lost)).toMatch(/^(Above|Below) \d+ (°\/s|ms): /);
        }
      }),
      { numRuns: 30 },
    );
  });
});
