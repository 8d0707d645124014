import { describe, expect, test } from 'vitest';
import { deflectionBorders, lostDeflections } from '../../../server/engine/choose/deflectionBorders.ts';
import {
  DEFLECTION_AXES,
  deflectionCost,
  suggestDeflection,
} from '../../../server/engine/choose/deflectionChoice.ts';
import { checkDeflectionHeldOut } from '../../../server/engine/choose/deflectionHeldOut.ts';
import { stressDeflection, sumDeflectionStress } from '../../../server/engine/choose/deflectionStress.ts';
import { wrongDeflections } from '../../../server/engine/choose/deflectionVerdicts.ts';
import { deflectionBorderText } from '../../../server/engine/choose/deflectionWords.ts';
import type { ChoiceTake } from '../../../server/engine/choose/takeSweep.ts';
import { DeflectionDetector, type DeflectionSettings } from '../../../server/engine/detect/deflection.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { sweepDeflection } from '../../../server/engine/sweep/deflectionSweep.ts';
import { findPlateau } from '../../../server/engine/sweep/plateau.ts';
import type { Swing } from '../../../server/engine/truth/swings.ts';
import { fakeMotion } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { axes, base, sweepOf } from './deflectionSweeps.ts';
import { drawnTake } from './drawnTake.ts';
import { randomWorkspace } from './workspaces.ts';

/** The real detector, sample by sample, and the score of what it fires. */
function naiveWrong({ signals, truth }: ChoiceTake, settings: DeflectionSettings) {
  const fires: number[] = [];
  for (const { start, end } of signals.segments) {
    const detector = new DeflectionDetector(settings, signals.rateHz);
    for (let i = start; i < end; ++i) if (detector.step(signals.swingSpeedDps[i]!)) fires.push(i);
  }
  const score = scoreDeflection({ signals, fires: Int32Array.from(fires), swings: truth.swings });
  return { missed: score.missed.k, twice: score.twice.k, outside: score.outside, swings: score.swings };
}

/** Sums the naive loop over takes, cell by cell, and takes the middle of the best plateau of real swing speeds. */
function naiveChoice(takes: readonly ChoiceTake[]): DeflectionSettings {
  const swings = takes.reduce((sum, { truth }) => sum + truth.swings.length, 0);
  const wrong = axes.speedsDps.flatMap((speedDps) =>
    axes.rearmRatios.map((rearmRatio) => {
      if (speedDps < 90) return Number.NaN;
      const found = takes.map((take) => naiveWrong(take, { ...base, speedDps, rearmRatio }));
      return found.reduce((sum, { missed, twice, outside }) => sum + missed + twice + outside, 0);
    }),
  );
  const least = Math.min(...wrong.filter((count) => !Number.isNaN(count)));
  const cost = wrong.map((count) => Math.floor((count - least) / Math.max(1, swings / 50) + 1e-9));
  const { x, y } = findPlateau(axes.speedsDps, axes.rearmRatios, cost)!;
  return { ...base, speedDps: x, rearmRatio: y };
}

describe('held-out check on simulated workspaces', () => {
  test.each([1, 2, 3])(
    'seeded workspace %d: by a naive loop that steps the detector over the take left out',
    (seed) => {
      const takes = randomWorkspace(seed, 3);
      for (const keyOf of [({ id }: ChoiceTake) => id, ({ performer }: ChoiceTake) => performer]) {
        const held = checkDeflectionHeldOut(
          takes.map((take) => ({ key: keyOf(take), name: take.title, grid: sweepOf(take) })),
        )!;
        const keys = [...new Set(takes.map(keyOf))];
        expect(held.folds.length).toBe(keys.length);
        const totals = { missed: 0, twice: 0, outside: 0, swings: 0 };
        keys.forEach((key, i) => {
          const chosen = naiveChoice(takes.filter((take) => keyOf(take) !== key));
          const found = { missed: 0, twice: 0, outside: 0, swings: 0 };
          for (const take of takes.filter((one) => keyOf(one) === key)) {
            const own = naiveWrong(take, chosen);
            for (const name of ['missed', 'twice', 'outside', 'swings'] as const) found[name] += own[name];
          }
          for (const name of ['missed', 'twice', 'outside', 'swings'] as const) totals[name] += found[name];
          expect(held.folds[i]).toMatchObject({
            setting: { speedDps: chosen.speedDps, rearmRatio: chosen.rearmRatio },
            why: null,
            missed: { k: found.missed, n: found.swings },
            twice: { k: found.twice, n: found.swings },
            outside: { k: found.outside, n: found.swings },
          });
        });
        expect(held.missed).toEqual({ k: totals.missed, n: totals.swings });
        const wrong = held.folds.map(({ missed, twice, outside }) => missed.k + twice.k + outside.k);
        const { missed, twice, outside } = held.worst!;
        expect(missed.k + twice.k + outside.k).toBe(Math.max(...wrong));
      }
    },
  );

  test('one take, or one performer, leaves nothing to choose on', () => {
    const grid = sweepOf(drawnTake(1));
    expect(checkDeflectionHeldOut([{ key: 'a', name: 'A', grid }])).toBe(null);
    expect(
      checkDeflectionHeldOut([
        { key: 'a', name: 'A', grid },
        { key: 'a', name: 'A', grid },
      ]),
    ).toBe(null);
  });

  test('where the others hold no swing, the fold says so and is left out of the sum', () => {
    const full = sweepOf(drawnTake(1));
    const { signals } = drawnTake(2);
    const bare = sweepDeflection({ signals, swings: [], base, ...axes });
    const held = checkDeflectionHeldOut([
      { key: 'full', name: 'full', grid: full },
      { key: 'bare', name: 'bare', grid: bare },
    ])!;
    expect(held.folds[0]).toMatchObject({ setting: null, why: 'the others hold no swing to choose by' });
    expect(held.missed.n).toBe(0);
  });
});

test('no setting below the speed of a swing is chosen, however well it does', () => {
  const { speedsDps, rearmRatios } = axes;
  const cells = speedsDps.length * rearmRatios.length;
  const counts = (of: (s: number) => number) =>
    Int32Array.from({ length: cells }, (_, i) => of(Math.floor(i / rearmRatios.length)));
  const none = counts(() => 0);
  const cost = deflectionCost({
    speedsDps: Float64Array.from(speedsDps),
    rearmRatios: Float64Array.from(rearmRatios),
    swings: 100,
    missed: counts((s) => (s === 0 ? 0 : 10)),
    twice: none,
    outside: none,
  });
  expect([...cost.subarray(0, 3)]).toEqual([Number.NaN, Number.NaN, Number.NaN]);
  expect(Math.min(...cost.subarray(3))).toBe(0);
});

describe('stress', () => {
  const none = { kind: 'none', order: 2, cutoffHz: 25, lengthMs: 25 } as const;
  // 100 Hz: half a second at each peak about z, with 200 deg/s of twist, and half a second of nothing between.
  const peaks = [230, 235, 243, 250, 300];
  const column = (values: readonly number[]) =>
    values.flatMap((value) => [...new Array<number>(50).fill(value), ...new Array<number>(50).fill(0)]);
  const motion = {
    ...fakeMotion(column(peaks), { rateHz: 100 }),
    gyroXDps: Float64Array.from(column(peaks.map(() => 200))),
  };
  const swings = peaks.map((peakDps, k): Swing => {
    const startUs = k * 1_000_000;
    return {
      startUs,
      endUs: startUs + 490_000,
      peakUs: startUs + 250_000,
      peakDps,
      saturated: false,
      by: 'person',
    };
  });
  const at = (speedDps: number, change: Partial<DeflectionSettings> = {}) =>
    stressDeflection({ id: 'stairs', motion, swings }, none, {
      ...base,
      speedDps,
      rearmRatio: 0.6,
      restMs: 0,
      confirmMs: 0,
      ...change,
    });
  const of = (results: ReturnType<typeof at>, name: string) => {
    const { missed, twice, outside, flips } = results.find((one) => one.name === name)!;
    return { missed, twice, outside, flips: flips.map(({ peakUs }) => (peakUs - 250_000) / 1e6) };
  };
  const results = at(240);

  // 240 / 1.03 = 233.01, 240 / 0.97 = 247.4; the worst tilt takes 200 sin 5° = 17.4 off, and keeps cos 5° of the rest
  test.each([
    ['scaleUp', { missed: 1, twice: 0, outside: 0, flips: [1] }],
    ['scaleDown', { missed: 3, twice: 0, outside: 0, flips: [2] }],
    ['mount', { missed: 4, twice: 0, outside: 0, flips: [2, 3] }],
    ['bias', { missed: 2, twice: 0, outside: 0, flips: [] }],
    ['halfRate', { missed: 2, twice: 0, outside: 0, flips: [] }],
  ])('swings whose peaks lie about the threshold, %s', (name, expected) => {
    expect(of(results, name)).toEqual(expected);
  });

  test('noise makes a swing fire twice where it re-arms at the threshold itself', () => {
    const speed = column([240.5, 240.5, 240.5, 240.5, 240.5]);
    const wavering = { ...motion, ...fakeMotion(speed, { rateHz: 100 }) };
    const settings = { ...base, speedDps: 240, rearmRatio: 1, restMs: 0, confirmMs: 0 };
    const found = stressDeflection({ id: 'flat', motion: wavering, swings }, none, settings);
    const noise = found.find((one) => one.name === 'noise')!;
    expect(noise.twice).toBe(5);
    expect(noise.flips.length).toBe(5);
    expect(found.find((one) => one.name === 'scaleUp')!.twice).toBe(0);
  });

  test('what fires outside any swing only under stress is counted', () => {
    const lone = swings.filter((_, k) => k !== 1);
    const found = stressDeflection({ id: 'stairs', motion, swings: lone }, none, {
      ...base,
      speedDps: 240,
      restMs: 0,
      confirmMs: 0,
    });
    expect(found.find((one) => one.name === 'scaleUp')).toMatchObject({ outside: 1, moreOutside: 1 });
    expect(found.find((one) => one.name === 'scaleDown')).toMatchObject({ outside: 0, moreOutside: 0 });
  });

  test('the same noise comes twice; several takes add up, stress by stress', () => {
    expect(at(240)).toEqual(results);
    const twice = sumDeflectionStress([results, results]);
    expect(twice.map((one) => one.missed)).toEqual(results.map((one) => 2 * one.missed));
    expect(twice.map((one) => one.flips.length)).toEqual(results.map((one) => 2 * one.flips.length));
  });
});

describe('what limits the plateau', () => {
  test('on random takes, a step beyond each border is worse by what is said, and names a swing or fire', () => {
    let steps = 0;
    fc.assert(
      fc.property(fc.nat(), (seed) => {
        const take = { ...drawnTake(seed), id: 'a' };
        const grid = sweepOf(take, DEFLECTION_AXES);
        const suggestion = suggestDeflection(grid)!;
        const { speedDps, rearmRatio } = suggestion;
        const settings = { ...base, speedDps, rearmRatio };
        const borders = deflectionBorders(suggestion, grid);
        const lost = lostDeflections(take, settings, borders);
        const here = naiveWrong(take, settings);
        for (const border of borders) {
          if (border.beyond === null) continue;
          ++steps;
          const isSpeed = border.side.endsWith('Speed');
          const there = naiveWrong(take, {
            ...settings,
            [isSpeed ? 'speedDps' : 'rearmRatio']: border.beyond,
          });
          expect(border.missed).toBe(there.missed - here.missed);
          expect(border.twice).toBe(there.twice - here.twice);
          expect(border.outside).toBe(there.outside - here.outside);
          expect(border.missed + border.twice + border.outside).toBeGreaterThan(0);
          expect(lost.some((one) => one.side === border.side)).toBe(true);
          expect(deflectionBorderText(border, lost)).toMatch(
            /^(Above|Below) .*: \d+ more .* \(Take \d+, [\d.]+ s\)\.$/,
          );
        }
      }),
      { numRuns: 45 },
    );
    // Many borders are an end of the map.
    expect(steps).toBeGreaterThan(60);
  });

  test('what is wrong even so is all that the score counts', () => {
    fc.assert(
      fc.property(fc.nat(), fc.constantFrom(120, 240, 400), (seed, speedDps) => {
        const take = drawnTake(seed);
        const found = wrongDeflections(take.signals, take.truth.swings, { ...base, speedDps });
        const { missed, twice, outside } = naiveWrong(take, { ...base, speedDps });
        const counted = (kind: string) => found.filter((one) => one.kind === kind).length;
        expect([counted('missed'), counted('twice'), counted('outside')]).toEqual([missed, twice, outside]);
      }),
      { numRuns: 50 },
    );
  });
});
