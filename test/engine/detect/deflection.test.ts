import { describe, expect, test } from 'vitest';
import {
  DeflectionDetector,
  type DeflectionSettings,
  runDeflection,
} from '../../../server/engine/detect/deflection.ts';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { referenceDeflection } from '../../reference/deflection.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { rateTrace, splitAt } from './traces.ts';

const RATE_HZ = 100;
const settings = (change: Partial<DeflectionSettings> = {}): DeflectionSettings => ({
  speedDps: 240,
  rearmRatio: 0.6,
  restMs: 0,
  confirmMs: 0,
  switchedOn: 'always',
  debounceMs: 0,
  ...change,
});

/** One character per 10 ms: 'H' = 240, at the threshold, 'm' = 144, at 0.6 of it, 'l' = 143.9, '.' = 0, '?' = NaN. */
const SPEED: Readonly<Record<string, number>> = { H: 240, m: 144, l: 143.9, '.': 0, '?': Number.NaN };
const speeds = (trace: string) => Array.from(trace, (c) => SPEED[c]!);
const firesOn = (trace: readonly number[], deflection: DeflectionSettings) => [
  ...runDeflection(fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ }), deflection)!,
];

describe('one sample after the other', () => {
  test.each<[string, Partial<DeflectionSettings>, string, number[]]>([
    ['fires at the first sample at or above, once', {}, '..HHH..', [2]],
    ['a dip to the rearm speed itself does not arm', {}, 'HmH', [0]],
    ['a dip below the rearm speed arms', {}, 'HlH', [0, 2]],
    ['a swing inside the rest is swallowed', { restMs: 60 }, 'H..H..', [0]],
    ['a swing as far off as the rest fires', { restMs: 30 }, 'H..H..', [0, 3]],
    ['rest is rounded up to whole samples', { restMs: 31 }, 'H..H..', [0]],
    [
      'a swallowed swing disarms: its tail does not fire when the rest is over',
      { restMs: 60 },
      'H..HHHHHH',
      [0],
    ],
    ['a swallowed swing does not prolong the rest', { restMs: 60 }, 'H..H..H', [0, 6]],
    ['confirm: as many samples after the first as it says', { confirmMs: 20 }, '.HHHH', [3]],
    ['confirm is rounded up', { confirmMs: 11 }, '.HHHH', [3]],
    [
      'a break of the confirm run leaves it armed and starts the count anew',
      { confirmMs: 20 },
      'HHmHHH',
      [5],
    ],
    ['a run that is too short never fires', { confirmMs: 20 }, 'HH.HH.HH.', []],
    ['NaN breaks a confirm run', { confirmMs: 20 }, 'HH?HHH', [5]],
    ['NaN arms nothing', {}, 'H?H', [0]],
    [
      'the rest counts from the fire, not from the first sample above',
      { confirmMs: 20, restMs: 30 },
      'HHH.HHH',
      [2, 6],
    ],
    ['with rearmRatio 1 any sample below arms', { rearmRatio: 1 }, 'HmH', [0, 2]],
    ['a start in the middle of a swing fires', {}, 'HH', [0]],
  ])('%s', (_name, change, trace, expected) => {
    expect(firesOn(speeds(trace), settings(change))).toEqual(expected);
  });

  test('a gap arms it again and forgets the rest', () => {
    const segments = [
      { start: 0, end: 2 },
      { start: 2, end: 4 },
    ];
    const signals = fakeSignals({ swingSpeedDps: speeds('HHHH') }, { rateHz: RATE_HZ, segments });
    expect([...runDeflection(signals, settings({ restMs: 500 }))!]).toEqual([0, 2]);
  });

  test('hysteresis: armed again at or below 150, it fires at 2 and 10', () => {
    // Own rate series, worked out by hand; the comparator with hysteresis is that of O. H. Schmitt, J. Sci. Instrum. 15
    // (1938), 24-26, cited from memory.
    const rate = [0, 100, 310, 280, 290, 305, 200, 149, 160, 299, 301, 0];
    expect(firesOn(rate, settings({ speedDps: 300, rearmRatio: 150.0001 / 300 }))).toEqual([2, 10]);
    expect(firesOn(rate, settings({ speedDps: 300, rearmRatio: 1 }))).toEqual([2, 5, 10]);
  });

  test.each([
    ['speedDps', 0],
    ['speedDps', Number.NaN],
    ['rearmRatio', 0],
    ['rearmRatio', 1.01],
    ['restMs', -1],
    ['restMs', Infinity],
    ['confirmMs', -1],
    ['confirmMs', Number.NaN],
  ])('%s = %s is refused by name', (name, value) => {
    expect(() => new DeflectionDetector(settings({ [name]: value }), RATE_HZ)).toThrow(`deflection.${name}`);
  });
});

describe('on any trace', () => {
  const anySettings = fc
    .record({
      rearmRatio: fc.constantFrom(0.05, 0.6, 1),
      restMs: fc.integer({ min: 0, max: 120 }),
      confirmMs: fc.oneof(fc.constant(0), fc.integer({ min: 0, max: 40 })),
    })
    .map(settings);
  const inSamples = (ms: number) => Math.ceil((ms * RATE_HZ) / 1000);

  test('it equals the reference that finds all onsets first, segment by segment', () => {
    fc.assert(
      fc.property(rateTrace, anySettings, fc.infiniteStream(fc.nat()), (trace, deflection, cuts) => {
        const segments = splitAt(trace.length, cuts);
        const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ, segments });
        const expected = segments.flatMap(({ start, end }) => {
          const rest = inSamples(deflection.restMs);
          const confirm = inSamples(deflection.confirmMs);
          return referenceDeflection(trace.slice(start, end), deflection, rest, confirm).map(
            (i) => i + start,
          );
        });
        expect([...runDeflection(signals, deflection)!]).toEqual(expected);
      }),
    );
  });

  test('one by one and as one batch it says the same', () => {
    fc.assert(
      fc.property(rateTrace, anySettings, (trace, deflection) => {
        const detector = new DeflectionDetector(deflection, RATE_HZ);
        const streamed = trace.flatMap((v, i) => (detector.step(v) ? [i] : []));
        expect(streamed).toEqual(firesOn(trace, deflection));
      }),
    );
  });

  test('it is causal: a change from sample k on leaves what came before', () => {
    fc.assert(
      fc.property(rateTrace, rateTrace, anySettings, fc.nat(), (trace, other, deflection, at) => {
        const k = at % trace.length;
        const until = (fires: number[]) => fires.filter((i) => i < k);
        const changed = [...trace.slice(0, k), ...other];
        expect(until(firesOn(changed, deflection))).toEqual(until(firesOn(trace, deflection)));
      }),
    );
  });

  test('at the same speed, every fire lies where the guard is closed', () => {
    fc.assert(
      fc.property(rateTrace, anySettings, (trace, deflection) => {
        const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
        const guard = { ...DEFAULT_CANDIDATE.guard, speedDps: deflection.speedDps };
        const closed = runGuard(signals, guard);
        for (const fire of runDeflection(signals, deflection)!) expect(closed[fire]).toBe(1);
      }),
    );
  });
});
