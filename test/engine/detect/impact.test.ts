import { describe, expect, test } from 'vitest';
import { ImpactDetector, type ImpactSettings, runImpact } from '../../../server/engine/detect/impact.ts';
import { referenceImpact } from '../../reference/impact.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { splitAt } from './traces.ts';

const RATE_HZ = 100;
const settings = (change: Partial<ImpactSettings> = {}): ImpactSettings => ({
  impactG: 3,
  restMs: 0,
  allowanceGPer100Dps: 0,
  highPassHz: 20,
  ...change,
});
const firesOn = (impactG: readonly number[], swingSpeedDps: readonly number[], impact: ImpactSettings) => [
  ...runImpact(fakeSignals({ impactG, swingSpeedDps }, { rateHz: RATE_HZ }), impact),
];

describe('one sample after the other', () => {
  const NAN = Number.NaN;
  test.each<[string, Partial<ImpactSettings>, number[], number[], number[]]>([
    ['the level itself fires', {}, [0, 3, 0], [0, 0, 0], [1]],
    ['once while it stays there', {}, [3, 4, 5], [0, 0, 0], [0]],
    ['one sample below arms again', {}, [3, 2.9, 3], [0, 0, 0], [0, 2]],
    ['a second blow inside the rest is swallowed', { restMs: 30 }, [3, 0, 3, 0], [0, 0, 0, 0], [0]],
    ['a second blow as far off as the rest fires', { restMs: 20 }, [3, 0, 3, 0], [0, 0, 0, 0], [0, 2]],
    ['a swallowed blow disarms', { restMs: 20 }, [3, 3, 0, 3, 3], [0, 0, 0, 0, 0], [0, 3]],
    ['a swing raises the level', { allowanceGPer100Dps: 0.5 }, [3, 3.9, 4, 0], [200, 200, 200, 200], [2]],
    [
      'a level that rises over a lasting blow arms again',
      { allowanceGPer100Dps: 1 },
      [4, 4, 4],
      [0, 200, 0],
      [0, 2],
    ],
    ['NaN of the blow neither fires nor arms', {}, [3, NAN, 3], [0, 0, 0], [0]],
    ['NaN of the speed neither fires nor arms', { allowanceGPer100Dps: 1 }, [9, 0, 9], [NAN, 0, NAN], []],
  ])('%s', (_name, change, impactG, speed, expected) => {
    expect(firesOn(impactG, speed, settings(change))).toEqual(expected);
  });

  test('a gap arms it again and forgets the rest', () => {
    const segments = [
      { start: 0, end: 1 },
      { start: 1, end: 2 },
    ];
    const signals = fakeSignals({ impactG: [3, 3] }, { rateHz: RATE_HZ, segments });
    expect([...runImpact(signals, settings({ restMs: 500 }))]).toEqual([0, 1]);
  });

  test.each([
    ['impactG', 0],
    ['restMs', -1],
    ['allowanceGPer100Dps', -0.1],
    ['allowanceGPer100Dps', Number.NaN],
  ])('%s = %s is refused by name', (name, value) => {
    expect(() => new ImpactDetector(settings({ [name]: value }), RATE_HZ)).toThrow(`impact.${name}`);
  });
});

describe('on any trace', () => {
  const samples = fc.array(
    fc.tuple(fc.constantFrom(0, 2, 2.9, 3, 3.5, 4, Number.NaN), fc.constantFrom(0, 100, 200, Number.NaN)),
    { minLength: 1, maxLength: 60 },
  );
  const anySettings = fc
    .record({ restMs: fc.integer({ min: 0, max: 80 }), allowanceGPer100Dps: fc.constantFrom(0, 0.5, 1) })
    .map(settings);

  test('it equals the reference that finds all onsets first, segment by segment', () => {
    fc.assert(
      fc.property(samples, anySettings, fc.infiniteStream(fc.nat()), (pairs, impact, cuts) => {
        const [impactG, speed] = [pairs.map((p) => p[0]), pairs.map((p) => p[1])];
        const segments = splitAt(pairs.length, cuts);
        const signals = fakeSignals({ impactG, swingSpeedDps: speed }, { rateHz: RATE_HZ, segments });
        const rest = Math.ceil((impact.restMs * RATE_HZ) / 1000);
        const expected = segments.flatMap(({ start, end }) =>
          referenceImpact(impactG.slice(start, end), speed.slice(start, end), impact, rest).map(
            (i) => i + start,
          ),
        );
        expect([...runImpact(signals, impact)]).toEqual(expected);
      }),
    );
  });

  test('one by one and as one batch it says the same; and a change from k on leaves what came before', () => {
    fc.assert(
      fc.property(samples, anySettings, fc.nat(), (pairs, impact, at) => {
        const batch = firesOn(
          pairs.map((p) => p[0]),
          pairs.map((p) => p[1]),
          impact,
        );
        const detector = new ImpactDetector(impact, RATE_HZ);
        expect(pairs.flatMap(([g, v], i) => (detector.step(g, v) ? [i] : []))).toEqual(batch);
        const k = at % pairs.length;
        const changed = pairs.map((p) => p[0]).fill(9, k);
        const after = firesOn(
          changed,
          pairs.map((p) => p[1]),
          impact,
        );
        expect(after.filter((i) => i < k)).toEqual(batch.filter((i) => i < k));
      }),
    );
  });
});
