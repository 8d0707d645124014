import { describe, expect, test } from 'vitest';
import { stressTake, sumChecks } from '../../../server/engine/choose/checkTake.ts';
import { DEFLECTION } from '../../../server/engine/choose/deflectionProblem.ts';
import { GUARD, type RatedTake } from '../../../server/engine/choose/guardProblem.ts';
import { gaussianNoise } from '../../../server/engine/choose/noise.ts';
import type { DeflectionSettings } from '../../../server/engine/detect/deflection.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { computeSpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import type { Swing } from '../../../server/engine/truth/swings.ts';
import { fakeMotion } from '../fakeSignals.ts';
import { guard, labelled } from './drawnTake.ts';

const none = { kind: 'none', order: 2, cutoffHz: 25, lengthMs: 25 } as const;

/** A take at 100 Hz of these speeds about z, with 200 deg/s of twist. */
function takeOf(speeds: readonly number[], change: Partial<RatedTake> = {}): RatedTake {
  const motion = {
    ...fakeMotion(speeds, { rateHz: 100 }),
    gyroXDps: Float64Array.from(speeds, () => 200),
  };
  const signals = computeSpeedSignals(motion, none);
  const truth = { swings: [], spinning: [], reversals: [] };
  const named = { id: 'stairs', title: 'Stairs', performer: '', presses: [], labels: EMPTY_LABELS };
  return { ...named, motion, signals, truth, ...change };
}

// 240 / 1.03 = 233.01, 240 / 0.97 = 247.4; the worst tilt takes 200 sin 5° = 17.4 off, and keeps cos 5° = 0.9962
describe('presses under stress', () => {
  // Half a second at each speed; a press in the middle of each.
  const speeds = [0, 230, 235, 243, 250, 300, 0];
  const presses = speeds.map((_, k) => ({ button: 'power', downUs: k * 500_000 + 250_000, upUs: null }));
  const intents = ['wanted', 'stray', 'stray', 'stray', 'stray', 'stray', 'wanted'] as const;
  const take = takeOf(
    speeds.flatMap((value) => new Array<number>(50).fill(value)),
    { presses, labels: labelled(presses, (i) => intents[i]!) },
  );
  const at = (change: Partial<GuardSettings>, on = take) => {
    const results = stressTake(GUARD, on, none, guard(change));
    return (name: string) => {
      const { wrong, flips } = results.find((one) => one.name === name)!;
      return [wrong.strays, flips];
    };
  };

  test.each([
    ['a gyro that reads 3 % more closes on what went 3 % slower', 'gyroMore', [1, 1]],
    ['one that reads 3 % less lets through what went 3 % faster', 'gyroLess', [3, 1]],
    ['a mount off by 5° mixes the twist in; of four directions the worst counts', 'mount', [4, 2]],
    ['a bias of 2 °/s turns nothing that lies further from the border', 'bias', [2, 0]],
    ['half the rate of a steady speed changes nothing', 'halfRate', [2, 0]],
  ])('%s', (_name, stress, expected) => {
    expect(at({ speedDps: 240 })(stress)).toEqual(expected);
  });

  test('a bias of 2 °/s turns what lies within 2 °/s of the border', () => {
    expect(at({ speedDps: 242 })('bias')[1]).toBe(1);
  });

  test('half the rate misses a peak of one sample, in one of its two phases', () => {
    const speed = new Array<number>(100).fill(0);
    speed[51] = 500;
    const one = [{ button: 'power', downUs: 550_000, upUs: null }];
    const peak = takeOf(speed, { presses: one, labels: labelled(one, () => 'stray') });
    const found = at({ speedDps: 240, holdMs: 100 }, peak);
    expect([found('gyroMore')[0], found('halfRate')[0]]).toEqual([0, 1]);
  });
});

describe('swings under stress', () => {
  // Half a second at each peak, and half a second of nothing between.
  const column = (values: readonly number[]) =>
    values.flatMap((value) => [...new Array<number>(50).fill(value), ...new Array<number>(50).fill(0)]);
  const peaks = [230, 235, 243, 250, 300];
  const swings = peaks.map((peakDps, k): Swing => {
    const startUs = k * 1_000_000;
    const [endUs, peakUs] = [startUs + 490_000, startUs + 250_000];
    return { startUs, endUs, peakUs, peakDps, saturated: false, by: 'person' };
  });
  const at = (speeds: readonly number[], own: readonly Swing[], change: Partial<DeflectionSettings> = {}) => {
    const take = takeOf(column(speeds), { truth: { swings: own, spinning: [], reversals: [] } });
    const still = {
      ...DEFAULT_CANDIDATE.deflection,
      speedDps: 240,
      rearmRatio: 0.6,
      restMs: 0,
      confirmMs: 0,
    };
    return stressTake(DEFLECTION, take, none, { ...still, ...change });
  };
  const results = at(peaks, swings);
  const result = (all: typeof results, name: string) => all.find((one) => one.name === name)!;

  test.each([
    ['gyroMore', 1, 1],
    ['gyroLess', 3, 1],
    ['mount', 4, 2],
    ['bias', 2, 0],
    ['halfRate', 2, 0],
  ])('whose peaks lie about the threshold, %s: %d missed, %d flips', (name, missed, flips) => {
    expect(result(results, name)).toMatchObject({ wrong: { missed, twice: 0, outside: 0 }, flips });
  });

  test('with a button, the swings in which it is held are stressed, at half the rate too', () => {
    const take = takeOf(column(peaks), { truth: { swings, spinning: [], reversals: [] } });
    const deflectionPresses = [2, 3, 4].map((k) => ({
      button: 'held',
      downUs: k * 1_000_000,
      upUs: k * 1_000_000 + 480_000,
    }));
    const pressed = { ...take, signals: { ...take.signals, deflectionPresses } };
    const still = { ...DEFAULT_CANDIDATE.deflection, speedDps: 240, restMs: 0, switchedOn: 'held' as const };
    const found = stressTake(DEFLECTION, pressed, none, still);
    // Of 243, 250 and 300 °/s: 3 % less takes the first below 240.
    expect(result(found, 'gyroLess')).toMatchObject({ wrong: { missed: 1, twice: 0, outside: 0 }, flips: 1 });
    expect(result(found, 'halfRate')).toMatchObject({ wrong: { missed: 0, twice: 0, outside: 0 }, flips: 0 });
    const unknown = stressTake(DEFLECTION, take, none, still);
    for (const one of unknown) expect(one).toMatchObject({ wrong: { missed: 0, outside: 0 }, flips: 0 });
  });

  test('noise makes a swing fire twice where it re-arms at the threshold itself', () => {
    const found = at([240.5, 240.5, 240.5, 240.5, 240.5], swings, { rearmRatio: 1 });
    expect(result(found, 'rateNoise')).toMatchObject({ wrong: { twice: 5 }, flips: 5 });
    expect(result(found, 'gyroMore').wrong.twice).toBe(0);
  });

  test('what fires outside any swing only under stress is counted', () => {
    const found = at(
      peaks,
      swings.filter((_, k) => k !== 1),
    );
    expect(result(found, 'gyroMore')).toMatchObject({ wrong: { outside: 1 }, moreFires: 1 });
    expect(result(found, 'gyroLess')).toMatchObject({ wrong: { outside: 0 }, moreFires: 0 });
  });

  test('the same noise comes twice; several takes add up, stress by stress', () => {
    expect(at(peaks, swings)).toEqual(results);
    const checks = { lost: [], wrong: [], stress: results };
    const sum = sumChecks(DEFLECTION, [checks, checks]);
    expect(sum.stressed).toBe(2);
    expect(sum.stress.map(({ wrong, flips }) => [wrong.missed, flips])).toEqual(
      results.map(({ wrong, flips }) => [2 * wrong.missed, 2 * flips]),
    );
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
