import { describe, expect, test } from 'vitest';
import { GESTURE_DETECTOR_IDS } from '../../../server/engine/detect/detectors.ts';
import { EMPTY_LABELS, type GestureLabel, type Labels } from '../../../server/engine/labels/labels.ts';
import { nextMoment, wrongMoments } from '../../../server/engine/replay/wrongMoments.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { scoreGesture } from '../../../server/engine/score/gestureScore.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const signals = fakeSignals({ swingSpeedDps: new Float64Array(4000) });
const NO_FIRES = { stab: new Int32Array(0), impact: new Int32Array(0), twist: new Int32Array(0) };
const NOTHING = {
  timeUs: signals.timeUs,
  verdicts: [],
  deflections: new Int32Array(0),
  fires: NO_FIRES,
  labels: EMPTY_LABELS,
  swings: [],
  missedSwings: [],
  twiceUs: [],
};

const ms = fc.integer({ min: 0, max: 3900 });
const firesMs = fc
  .uniqueArray(ms, { maxLength: 12 })
  .map((list) => Int32Array.from(list.sort((a, b) => a - b)));
const gestures = fc.uniqueArray(fc.integer({ min: 1, max: 15 }), { maxLength: 5 }).map((starts) =>
  starts.map(
    (k): GestureLabel => ({
      startUs: k * 250_000,
      endUs: k * 250_000 + 90_000,
      kind: 'thrust',
      by: 'person',
    }),
  ),
);

describe('wrongMoments', () => {
  test('there are as many as the scores count, whatever fires', () => {
    fc.assert(
      fc.property(firesMs, gestures, fc.boolean(), (fires, thrusts, isSimulated) => {
        const spans = isSimulated ? [{ startUs: 0, endUs: 1, kind: 'still', by: 'simulation' as const }] : [];
        const labels: Labels = { ...EMPTY_LABELS, gestures: thrusts, spans };
        const score = scoreGesture('stab', signals, fires, labels, DEFAULT_CANDIDATE);
        const found = wrongMoments({ ...NOTHING, labels, fires: { ...NO_FIRES, stab: fires } });
        const count = (kind: string) => found.filter((one) => one.kind === kind).length;
        expect(count('gestureMissed')).toBe(score.missed.k);
        expect(count('gestureAgain')).toBe(score.again);
        expect(count('gestureOutside')).toBe(score.falseFires ?? 0);
        expect(found.map(({ timeUs }) => timeUs)).toEqual(
          found.map(({ timeUs }) => timeUs).sort((a, b) => a - b),
        );
      }),
    );
  });

  test('deflections outside, missed and twice are those of the score', () => {
    const swings = [300, 1200, 2500].map((peak) => ({
      startUs: (peak - 200) * 1000,
      endUs: (peak + 200) * 1000,
      peakUs: peak * 1000,
      peakDps: 500,
      saturated: false,
      by: 'person' as const,
    }));
    fc.assert(
      fc.property(firesMs, (fires) => {
        const { missedSwings, twiceUs, outside } = scoreDeflection({
          signals,
          fires,
          swings,
          settings: DEFAULT_CANDIDATE.deflection,
        })!;
        const found = wrongMoments({ ...NOTHING, deflections: fires, swings, missedSwings, twiceUs });
        const times = (kind: string) => found.filter((one) => one.kind === kind).map(({ timeUs }) => timeUs);
        expect(times('swingMissed')).toEqual(missedSwings.map(({ peakUs }) => peakUs));
        expect(times('swingTwice')).toEqual([...twiceUs]);
        expect(times('deflectionOutside').length).toBe(outside);
      }),
    );
  });

  test('every detector of gestures is looked at', () => {
    const fires = Object.fromEntries(GESTURE_DETECTOR_IDS.map((id, k) => [id, Int32Array.of(100 * (k + 1))]));
    const labels = {
      ...EMPTY_LABELS,
      spans: [{ startUs: 0, endUs: 1, kind: 'still', by: 'simulation' as const }],
    };
    const found = wrongMoments({ ...NOTHING, labels, fires: fires as typeof NO_FIRES });
    expect(found).toEqual(
      GESTURE_DETECTOR_IDS.map((id, k) => ({ kind: 'gestureOutside', id, timeUs: 100_000 * (k + 1) })),
    );
  });
});

describe('nextMoment', () => {
  const list = [1000, 5000, 5000, 9000];
  test.each([
    ['the next', 0, 1, 1000],
    ['from one of them, the one behind it', 1000, 1, 5000],
    ['two at one moment are one place', 5000, 1, 9000],
    ['behind the last there is none', 9000, 1, null],
    ['the one before', 9000, -1, 5000],
    ['half a sample past one it is that one', 5400, -1, 1000],
    ['before the first there is none', 1000, -1, null],
  ] as const)('%s', (_name, from, by, expected) => expect(nextMoment(list, from, by, 1000)).toBe(expected));
});
