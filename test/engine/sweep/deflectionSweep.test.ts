import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { type DeflectionSettings, runDeflection } from '../../../server/engine/detect/deflection.ts';
import { type SwitchedOn, whenSwitchedOn } from '../../../server/engine/detect/deflectionButton.ts';
import { missReasons } from '../../../server/engine/explain/missedSwings.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { sweepDeflection } from '../../../server/engine/sweep/deflectionSweep.ts';
import { sweepFires } from '../../../server/engine/sweep/fireSweep.ts';
import { proposeSwings } from '../../../server/engine/truth/swings.ts';
import { seededRandom } from '../../seeded.ts';
import { rateTrace, splitAt } from '../detect/traces.ts';
import { fakeMotion, fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { drawnSpeed } from './drawnSpeed.ts';

const RATE_HZ = 50;
const base = (change: Partial<DeflectionSettings> = {}): DeflectionSettings => ({
  speedDps: 1,
  rearmRatio: 1,
  restMs: 0,
  confirmMs: 0,
  switchedOn: 'always',
  debounceMs: 0,
  ...change,
});

function drawnTake(seed: number) {
  const { speed, trueSpeed, segments } = drawnSpeed(seed, 500);
  const options = { rateHz: RATE_HZ, segments, gapUs: 300_000 };
  const signals = fakeSignals({ swingSpeedDps: speed, trueSpeedDps: trueSpeed }, options);
  return { signals, swings: proposeSwings(fakeMotion(trueSpeed, options)) };
}

/** Presses of a button, some of them bounces, over so many samples. */
function drawnPresses(seed: number, length: number): Press[] {
  const random = seededRandom(seed);
  const presses: Press[] = [];
  let atUs = 0;
  while (atUs < (length * 1e6) / RATE_HZ) {
    const downUs = atUs + Math.floor(random() ** 2 * 1_500_000);
    const upUs = downUs + Math.floor(random() ** 2 * 1_200_000);
    presses.push({ button: 'held', downUs, upUs });
    atUs = upUs + 1 + (random() < 0.4 ? Math.floor(random() * 60_000) : 300_000);
  }
  return presses;
}

const anyBase = fc
  .record({
    restMs: fc.constantFrom(0, 0, 60, 200),
    confirmMs: fc.constantFrom(0, 0, 20, 50, 100),
    switchedOn: fc.constantFrom('always' as const, 'held' as const),
    debounceMs: fc.constantFrom(0, 15, 70),
  })
  .map(base);
const rising = (values: number[]) => values.sort((a, b) => a - b);

describe('sweepFires', () => {
  test('at every speed, the fires of a run with that speed, on any trace with gaps and NaN', () => {
    const speeds = fc
      .uniqueArray(fc.constantFrom(50, 144, 200, 240, 250, 300, 400, 900), { minLength: 1 })
      .map(rising);
    fc.assert(
      fc.property(
        rateTrace,
        speeds,
        anyBase,
        fc.constantFrom(0.1, 0.6, 1),
        fc.infiniteStream(fc.nat()),
        fc.nat(),
        (trace, speedsDps, settings, rearmRatio, cuts, seed) => {
          const segments = splitAt(trace.length, cuts);
          const plain = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ, segments });
          const signals = { ...plain, deflectionPresses: drawnPresses(seed, trace.length) };
          const on = whenSwitchedOn(signals, settings) as Exclude<SwitchedOn, 'unknown'>;
          const swept = sweepFires(signals, Float64Array.from(speedsDps), { ...settings, rearmRatio }, on);
          speedsDps.forEach((speedDps, s) => {
            expect(swept[s]).toEqual([...runDeflection(signals, { ...settings, rearmRatio, speedDps })!]);
          });
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('sweepDeflection', () => {
  test('every cell equals, to the last bit, the scores of a run with those settings', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        anyBase,
        fc.uniqueArray(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 6 }).map(rising),
        fc.uniqueArray(fc.constantFrom(0.05, 0.3, 0.6, 0.9, 1), { minLength: 1 }).map(rising),
        (seed, settings, speedsDps, rearmRatios) => {
          const { signals: plain, swings } = drawnTake(seed);
          const signals = { ...plain, deflectionPresses: drawnPresses(seed, 500) };
          const swept = sweepDeflection({ signals, swings, base: settings, xs: speedsDps, ys: rearmRatios });
          speedsDps.forEach((speedDps, s) => {
            rearmRatios.forEach((rearmRatio, r) => {
              const fires = runDeflection(signals, { ...settings, speedDps, rearmRatio });
              const score = scoreDeflection({ signals, fires, swings, settings })!;
              const cell = s * rearmRatios.length + r;
              expect(swept.sizes.swings).toBe(score.swings);
              expect(swept.wrong.missed[cell]).toBe(score.missed.k);
              expect(swept.wrong.twice[cell]).toBe(score.twice.k);
              expect(swept.wrong.outside[cell]).toBe(score.outside);
              expect(swept.timesMs.delayMedianMs[cell]).toBe(score.delayMs?.median ?? Number.NaN);
            });
          });
        },
      ),
      { numRuns: 150 },
    );
  });

  test('with a button, the drawn takes hold swings that count for nothing and swings that are missed for want of it', () => {
    const seen = { unwanted: 0, fires: 0, notHeld: 0 };
    for (let seed = 0; seed < 20; ++seed) {
      const { signals: plain, swings } = drawnTake(seed);
      const signals = { ...plain, deflectionPresses: drawnPresses(seed, 500) };
      const settings = base({ speedDps: 100, rearmRatio: 0.9, switchedOn: 'held', debounceMs: 15 });
      const fires = runDeflection(signals, settings)!;
      const score = scoreDeflection({ signals, fires, swings, settings })!;
      expect(score.swings + score.unwanted).toBe(swings.length);
      seen.unwanted += score.unwanted;
      seen.fires += fires.length;
      for (const { cause } of missReasons(signals, score.missedSwings, settings))
        if (cause === 'notHeld') ++seen.notHeld;
    }
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(5);
  });

  test('where nobody knows when the button was held, no swing counts and nothing is scored', () => {
    const { signals, swings } = drawnTake(3);
    const settings = base({ speedDps: 100, switchedOn: 'held' });
    const swept = sweepDeflection({ signals, swings, base: settings, xs: [100], ys: [0.9] });
    expect(swept).toMatchObject({ sizes: { swings: 0 }, wrong: { missed: Int32Array.of(0) } });
    expect(runDeflection(signals, settings)).toBeNull();
    expect(scoreDeflection({ signals, fires: null, swings, settings })).toBeNull();
  });

  test('the drawn takes hold what the comparison is about: swings missed, hit twice, and fires outside', () => {
    const seen = { missed: 0, twice: 0, outside: 0 };
    for (let seed = 0; seed < 20; ++seed) {
      const swept = sweepDeflection({
        ...drawnTake(seed),
        base: base(),
        xs: [20, 300],
        ys: [0.9],
      });
      for (const name of ['missed', 'twice', 'outside'] as const)
        if (swept.wrong[name].some((k) => k > 0)) ++seen[name];
    }
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(5);
  });

  test.each<[string, number[], number[], RegExp]>([
    ['no speed', [], [1], /xs needs at least one/],
    ['ratios that do not rise', [100], [1, 0.5], /ys must rise/],
    ['a ratio above 1', [100], [0.5, 1.1], /rearmRatio must be in/],
    ['a ratio of 0', [100], [0, 0.5], /rearmRatio must be in/],
    ['a speed of 0', [0], [1], /above 0/],
  ])('%s is refused', (_name, xs, ys, message) => {
    expect(() => sweepDeflection({ ...drawnTake(1), base: base(), xs, ys })).toThrow(message);
  });
});
