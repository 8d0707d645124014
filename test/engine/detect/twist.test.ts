import { describe, expect, test } from 'vitest';
import { runTwistDial, TwistDial } from '../../../server/engine/detect/twistDial.ts';
import {
  runTwistTrigger,
  type TwistSettings,
  TwistTrigger,
} from '../../../server/engine/detect/twistTrigger.ts';
import { referenceTwistDial, referenceTwistTrigger } from '../../reference/twist.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const RATE_HZ = 100;
const NAN = Number.NaN;
const settings = (change: Partial<TwistSettings> = {}): TwistSettings => ({
  angleDeg: 60,
  windowMs: 30,
  quietDps: 120,
  degPerStep: 15,
  startAt: 'rest',
  ...change,
});
const triggersOn = (twistDeg: readonly number[], speed: readonly number[], twist: TwistSettings) => {
  const trigger = new TwistTrigger(twist, RATE_HZ);
  return twistDeg.flatMap((angle, i) => (trigger.step(angle, speed[i] ?? 0) ? [i] : []));
};
const stepsOn = (twistDeg: readonly number[], degPerStep: number) => {
  const dial = new TwistDial(settings({ degPerStep }), RATE_HZ);
  return twistDeg.map((angle) => dial.step(angle));
};

describe('the trigger', () => {
  test.each<[string, number[], number[], number[]]>([
    ['fires at exactly the angle', [0, 30, 60], [], [2]],
    ['not just below it', [0, 30, 59.9], [], []],
    ['either way round', [0, -30, -60], [], [2]],
    ['from the highest point of the window, not only from its start', [0, 40, -20], [], [2]],
    ['a turn as slow as the window reaches', [0, 20, 40, 60], [], [3]],
    ['a slower turn does not fire', [0, 15, 30, 45, 60, 75], [], []],
    ['after a fire the window starts anew with that sample', [0, 60, 100, 119, 120], [], [1, 4]],
    ['a blade that swings empties the window', [0, 30, 60, 61], [0, 121, 0, 0], []],
    ['the quiet speed itself is quiet', [0, 30, 60], [120, 120, 120], [2]],
    ['NaN of the angle empties the window', [0, NAN, 60, 61], [], []],
    ['NaN of the speed empties the window', [0, 30, 60, 61], [0, NAN, 0, 0], []],
  ])('%s', (_name, angle, speed, expected) => {
    expect(triggersOn(angle, speed, settings())).toEqual(expected);
  });

  test('a new start of the angle is no twist', () => {
    const signals = fakeSignals(
      { twistDeg: [100, 110, 0, 0, 20, 60] },
      { rateHz: RATE_HZ, twistStarts: [2, 3] },
    );
    expect([...runTwistTrigger(signals, settings())]).toEqual([5]);
  });

  test('a gap empties the window', () => {
    const segments = [
      { start: 0, end: 2 },
      { start: 2, end: 4 },
    ];
    const signals = fakeSignals({ twistDeg: [1, 2, 70, 71] }, { rateHz: RATE_HZ, segments });
    expect([...runTwistTrigger(signals, settings())]).toEqual([]);
  });

  test('it equals the reference that tries every earlier sample, and is causal', () => {
    const angles = fc.array(
      fc.oneof(
        { weight: 8, arbitrary: fc.integer({ min: -9, max: 9 }).map((k) => 10 * k) },
        { weight: 1, arbitrary: fc.constant(NAN) },
      ),
      { minLength: 1, maxLength: 60 },
    );
    const speeds = fc.array(fc.constantFrom(0, 50, 120, 121, NAN), { minLength: 60, maxLength: 60 });
    fc.assert(
      fc.property(
        angles,
        speeds,
        fc.integer({ min: 10, max: 200 }),
        fc.nat(),
        (angle, speed, windowMs, at) => {
          const quiet = speed.map((v, i) => (i % 5 === 0 ? v : 0));
          const windowSamples = Math.ceil((windowMs * RATE_HZ) / 1000);
          const fires = triggersOn(angle, quiet, settings({ windowMs }));
          expect(fires).toEqual(referenceTwistTrigger(angle, quiet, settings(), windowSamples));
          const k = at % angle.length;
          const changed = triggersOn([...angle.slice(0, k), 500, -500], quiet, settings({ windowMs }));
          expect(changed.filter((i) => i < k)).toEqual(fires.filter((i) => i < k));
        },
      ),
      { numRuns: 400 },
    );
  });

  test.each([
    ['angleDeg', 0],
    ['windowMs', 0],
    ['quietDps', NAN],
  ])('%s = %s is refused by name', (name, value) => {
    expect(() => new TwistTrigger(settings({ [name]: value }), RATE_HZ)).toThrow(`twist.${name}`);
  });
});

describe('the dial', () => {
  test.each<[string, number[], number[]]>([
    ['a step at exactly the angle', [0, 14.9, 15, 29.9, 30], [0, 0, 1, 0, 1]],
    ['back only after a whole step of the way', [15, 14, 0.1, 0], [1, 0, 0, -1]],
    ['trembling about a border emits once', [14, 15, 14, 15, 14, 15], [0, 1, 0, 0, 0, 0]],
    ['down below the start', [-14.9, -15, -30], [0, -1, -1]],
    ['a quick turn emits several steps at once', [47, -47], [3, -6]],
    ['NaN and infinity emit nothing and keep the place', [15, NAN, Infinity, 16, 30], [1, 0, 0, 0, 1]],
  ])('%s', (_name, angle, expected) => {
    expect(stepsOn(angle, 15)).toEqual(expected);
  });

  // A damaged cell of a log may read anything; a step at a time would take centuries, and never end beyond 2^53.
  test.each([1e15, 1e20, 1e300])('an absurd angle of %d takes no longer than any other', (angle) => {
    const [there, back] = stepsOn([angle, 0], 15);
    expect(there! / (angle / 15)).toBeCloseTo(1, 12);
    expect(there! + back!).toBe(0);
  });

  test('its steps sum up to its place, less than one step off the angle', () => {
    const angles = fc.array(
      fc.integer({ min: -4000, max: 4000 }).map((k) => k / 10),
      { minLength: 1, maxLength: 60 },
    );
    fc.assert(
      fc.property(angles, fc.constantFrom(1, 7.5, 15), (angle, degPerStep) => {
        const steps = stepsOn(angle, degPerStep);
        expect(steps).toEqual(referenceTwistDial(angle, degPerStep));
        const place = steps.reduce((sum, step) => sum + step, 0);
        expect(Math.abs(angle.at(-1)! - place * degPerStep)).toBeLessThan(degPerStep);
      }),
    );
  });

  test('a new start of the angle puts it at 0 without a step', () => {
    const signals = fakeSignals({ twistDeg: [5, 31, 0, 10, 15] }, { rateHz: RATE_HZ, twistStarts: [2] });
    expect(runTwistDial(signals, settings())).toEqual([
      { index: 1, steps: 2 },
      { index: 4, steps: 1 },
    ]);
  });

  test('degPerStep = 0 is refused by name', () => {
    expect(() => new TwistDial(settings({ degPerStep: 0 }), RATE_HZ)).toThrow('twist.degPerStep');
  });
});
