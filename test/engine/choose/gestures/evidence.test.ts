import { describe, expect, test } from 'vitest';
import { gestureEvidenceOf } from '../../../../server/engine/choose/gestures/evidence.ts';
import type { GestureTake } from '../../../../server/engine/choose/gestures/take.ts';
import { confirmedGestures } from '../../../../server/engine/labels/confirmedGestures.ts';
import type { GestureKind, GestureLabel, LabelBy } from '../../../../server/engine/labels/labels.ts';
import { windowOf } from '../../../../server/engine/score/gestureScore.ts';
import { unfitText } from '../../../../server/engine/words/choose/unfit.ts';
import { fakeSignals } from '../../fakeSignals.ts';
import { base, drawnTake } from './drawnTakes.ts';

const label = (kind: GestureKind, startS: number, by: LabelBy = 'person'): GestureLabel => ({
  kind,
  startUs: startS * 1e6,
  endUs: (startS + 0.2) * 1e6,
  by,
});

/** The drawn take with other gestures. Its swings last from 0, 2, 4 and 6 s to 1, 3, 5 and 7 s. */
const withGestures = (gestures: readonly GestureLabel[], change: Partial<GestureTake> = {}): GestureTake => {
  const take = drawnTake(3);
  return { ...take, labels: { ...take.labels, gestures }, ...change };
};

describe('what a take’s labels are worth', () => {
  test('a person’s and a simulation’s count; the program’s do not until somebody confirms them', () => {
    const take = withGestures([
      label('thrust', 1.3),
      label('thrust', 3.3, 'simulation'),
      label('thrust', 5.3, 'program'),
      label('thrust', 1.35, 'program'),
      label('hit', 1.45, 'program'),
    ]);
    expect(gestureEvidenceOf(take, 'stab', base)).toMatchObject({
      gestures: 2,
      by: { person: 1, simulation: 1, program: 0 },
      unconfirmed: 1,
    });
    expect(gestureEvidenceOf(take, 'impact', base)).toMatchObject({ gestures: 0, unconfirmed: 1 });
  });

  test('other movements are swings and other gestures that lie outside; the hit that ends a thrust is none', () => {
    // the second thrust lies in a swing, the first has its hit within reach
    const take = withGestures([
      label('thrust', 1.3),
      label('hit', 1.5),
      label('thrust', 4.5),
      label('twist', 7.2),
      label('hit', 7.5, 'program'),
    ]);
    expect(gestureEvidenceOf(take, 'stab', base).others).toBe(3 + 1);
  });

  test('where none of the kind is labelled, nothing is told to be none; a simulation has labelled all there is', () => {
    const bare = withGestures([label('hit', 1.5)]);
    expect(gestureEvidenceOf(bare, 'stab', base)).toMatchObject({ gestures: 0, others: 0, outsideS: 0 });
    const simulated = withGestures([label('hit', 1.5, 'simulation')]);
    const { others, outsideS } = gestureEvidenceOf(simulated, 'stab', base);
    expect(others).toBe(4 + 1);
    expect(outsideS).toBe(simulated.signals.timeUs.length / simulated.signals.rateHz);
  });

  test('time outside is that of the samples that belong to no gesture', () => {
    for (let seed = 0; seed < 5; ++seed) {
      const take = drawnTake(seed);
      const { gestures, unconfirmed } = confirmedGestures(take.labels, 'thrust');
      const windows = [...gestures, ...unconfirmed].map(windowOf);
      const isIn = (us: number) => windows.some(({ startUs, endUs }) => startUs <= us && us < endUs);
      const naive = [...take.signals.timeUs].filter((us) => !isIn(us)).length / take.signals.rateHz;
      const expected = gestures.length === 0 ? 0 : naive;
      expect(gestureEvidenceOf(take, 'stab', base).outsideS).toBeCloseTo(expected, 9);
    }
  });

  test('a gesture that its labeller says lies in stillness contradicts the labels', () => {
    const take = withGestures([label('twist', 1.3), label('twist', 3.3)]);
    const still = (by: LabelBy) => ({ startUs: 1.2e6, endUs: 1.6e6, kind: 'still', by });
    const said = (by: LabelBy) => ({ ...take, labels: { ...take.labels, spans: [still(by)] } });
    expect(gestureEvidenceOf(said('person'), 'twist', base).contradictionsUs).toEqual([1.3e6]);
    expect(gestureEvidenceOf(said('simulation'), 'twist', base).contradictionsUs).toEqual([]);
  });
});

describe('signals on which nothing can be chosen', () => {
  const fitAt = (rateHz: number, columns: Parameters<typeof fakeSignals>[0] = {}) => {
    const length = 4 * rateHz;
    const zeros = { swingSpeedDps: new Float64Array(length) };
    return withGestures([label('thrust', 1.3)], {
      signals: fakeSignals({ ...zeros, ...columns }, { rateHz }),
    });
  };
  const gone = (rateHz: number) => new Float64Array(4 * rateHz).fill(Number.NaN);
  test.each([
    ['a low rate', fitAt(30), 'twist', /^at 30 Hz a gesture is over between two samples/],
    [
      'a rate that holds no blow',
      fitAt(40),
      'stab',
      /^at 40 Hz it holds nothing above 20 Hz to hear a hit by/,
    ],
    ['the same for a twist', fitAt(40), 'twist', null],
    ['no thrust', fitAt(100, { thrustG: gone(100) }), 'stab', /^most of its accelerations are missing/],
    ['no turn', fitAt(100, { twistDeg: gone(100) }), 'twist', /^most of its rotation rates are missing/],
    ['no sample', fitAt(0), 'impact', /^it holds no motion/],
    ['all there', fitAt(100), 'stab', null],
  ] as const)('%s', (_name, take, kind, why) => {
    const { unfit } = gestureEvidenceOf(take, kind, base);
    if (why === null) expect(unfit).toBe(null);
    else expect(unfitText(unfit!)).toMatch(why);
  });
});
