import { describe, expect, test } from 'vitest';
import { type DeflectionSettings, runDeflection } from '../../../server/engine/detect/deflection.ts';
import { explainMiss, missReasons } from '../../../server/engine/explain/missedSwings.ts';
import { scoreDeflection } from '../../../server/engine/score/deflectionScore.ts';
import { proposeSwings, type Swing } from '../../../server/engine/truth/swings.ts';
import { missCountsText, missFixText, missText } from '../../../server/engine/words/misses.ts';
import { fakeMotion, fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const LATE_FIRE_MS = 100;

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

/** One character per 10 ms. */
const SPEED: Readonly<Record<string, number>> = {
  H: 300,
  h: 240,
  e: 200,
  m: 160,
  d: 150,
  '.': 0,
  '?': Number.NaN,
};
const signalsOf = (trace: string) =>
  fakeSignals({ swingSpeedDps: Array.from(trace, (c) => SPEED[c]!) }, { rateHz: RATE_HZ });
/** From one sample to another, both included; `late` samples more belong to it. */
const swing = (from: number, to: number, peakDps = 300): Swing => ({
  startUs: from * 10_000,
  endUs: to * 10_000 - LATE_FIRE_MS * 1000,
  peakUs: from * 10_000,
  peakDps,
  saturated: false,
  by: 'person',
});

describe('why a swing is missed', () => {
  test.each<[string, string, Swing, Partial<DeflectionSettings>, string, RegExp, [string, number][]]>([
    [
      'too slow',
      '..mmm..............',
      swing(2, 15, 160),
      {},
      'tooSlow',
      /reaches 160 °\/s, a deflection takes 240 °\/s/,
      [['speedDps', 160]],
    ],
    [
      'the smoothing takes its peak away',
      '..mmm..............',
      swing(2, 15, 260),
      {},
      'smoothed',
      /its peak of 260 °\/s reads as 160/,
      [['speedDps', 160]],
    ],
    [
      'the blade did not slow enough after the last one',
      '.HHHmmHHH...........',
      swing(5, 18),
      {},
      'notArmed',
      /since 0\.01 s the speed fell to 160 °\/s at the least, arming takes less than 144 °\/s/,
      // 160 / 240 = 0.667: the least ratio above it in hundredths.
      [
        ['rearmRatio', 0.67],
        // 160 / 0.6 = 266.7
        ['speedDps', 267],
      ],
    ],
    [
      // Armed below 150 the detector fires between the two dips and is not armed by the second one.
      'not armed by the deeper of two dips, which a swing before it would take',
      '.HHdHHeHHH..........',
      swing(6, 18),
      {},
      'notArmed',
      /since 0\.01 s the speed fell to 150 °\/s/,
      // 200 / 240 = 0.833
      [['rearmRatio', 0.84]],
    ],
    [
      'not armed, and no change of one setting would help',
      '.HHHhhHHH...........',
      swing(5, 18),
      {},
      'notArmed',
      /fell to 240 °\/s/,
      [],
    ],
    [
      'within the rest',
      '.HH..HHH............',
      swing(4, 17),
      { restMs: 100 },
      'resting',
      /comes 40 ms after the deflection before, the rest is 100 ms/,
      [['restMs', 40]],
    ],
    [
      'too short',
      '..HHH..............',
      swing(1, 15),
      { confirmMs: 50 },
      'tooShort',
      /for 20 ms, a deflection takes 50 ms/,
      [['confirmMs', 20]],
    ],
    ['a gap', '..m??m.............', swing(1, 15), {}, 'gap', /part of its rates is missing/, []],
    ['its fire is another’s', '..HHH..............', swing(1, 15), {}, 'neighbour', /at 0\.02 s belongs/, []],
  ])('%s', (_name, trace, missed, change, cause, text, fixes) => {
    const found = explainMiss(signalsOf(trace), missed, settings(change));
    expect(found.reason.cause).toBe(cause);
    expect(missText(found.reason)).toMatch(text);
    expect(found.fixes.map(({ setting, value }) => [setting, value])).toEqual(fixes);
    expect(missReasons(signalsOf(trace), [missed], settings(change))).toEqual([found.reason]);
  });

  test('the change is told with what it is now', () => {
    const resting = settings({ restMs: 100 });
    const { fixes } = explainMiss(signalsOf('.HH..HHH............'), swing(4, 17), resting);
    expect(missFixText(fixes[0]!, resting)).toBe('a rest of 40 ms (now 100)');
  });

  test('causes are told by how common they are', () => {
    const causes = ['tooSlow', 'notArmed', 'notArmed'] as const;
    expect(missCountsText(causes.map((cause) => ({ cause })))).toBe('2 not armed again, 1 too slow');
    expect(missCountsText([])).toBe('');
  });

  test('a detector starts armed behind a gap between segments, and what lies before it is not looked at', () => {
    const speed = [0, 300, 300, ...new Array(5).fill(160), ...new Array(12).fill(160)];
    const split = [
      { start: 0, end: 5 },
      { start: 5, end: 20 },
    ];
    const signals = fakeSignals(
      { swingSpeedDps: speed },
      { rateHz: RATE_HZ, segments: split, gapUs: 500_000 },
    );
    const startUs = signals.timeUs[5]!;
    const late: Swing = { ...swing(0, 0, 160), startUs, peakUs: startUs, endUs: startUs + 50_000 };
    expect(explainMiss(signals, late, settings()).reason.cause).toBe('tooSlow');
  });

  test('on random swings every missed one has a cause, and each change it names makes a deflection fire in it', () => {
    const swings = fc.array(
      fc.record({ peak: fc.integer({ min: 100, max: 700 }), low: fc.integer({ min: 0, max: 300 }) }),
      {
        minLength: 2,
        maxLength: 8,
      },
    );
    const change = fc
      .record({
        speedDps: fc.integer({ min: 100, max: 500 }),
        rearmRatio: fc.integer({ min: 20, max: 100 }).map((hundredths) => hundredths / 100),
        restMs: fc.integer({ min: 0, max: 600 }),
        confirmMs: fc.integer({ min: 0, max: 150 }),
      })
      .map(settings);
    const seen = new Map<string, number>();
    fc.assert(
      fc.property(swings, change, (shapes, deflection) => {
        const speed = shapes.flatMap(({ peak, low }) =>
          Array.from({ length: 30 }, (_, i) => {
            const share = Math.sin((Math.PI * i) / 30) ** 2;
            return Math.min(low, peak) * (1 - share) + peak * share;
          }),
        );
        const signals = fakeSignals({ swingSpeedDps: speed }, { rateHz: RATE_HZ });
        const found = proposeSwings(fakeMotion(speed, { rateHz: RATE_HZ }));
        const fires = runDeflection(signals, deflection);
        const { missedSwings, missed } = scoreDeflection({
          signals,
          fires,
          swings: found,
          settings: deflection,
        })!;
        expect(missedSwings).toHaveLength(missed.k);
        const reasons = missReasons(signals, missedSwings, deflection);
        missedSwings.forEach((one, i) => {
          const { reason, fixes } = explainMiss(signals, one, deflection);
          expect(reason).toEqual(reasons[i]);
          seen.set(reason.cause, (seen.get(reason.cause) ?? 0) + fixes.length);
          for (const { setting, value } of fixes) {
            const changed = { ...deflection, [setting]: value };
            const times = Array.from(runDeflection(signals, changed)!, (index) => signals.timeUs[index]!);
            const lastUs = one.endUs + LATE_FIRE_MS * 1000;
            expect(times.some((us) => us >= one.startUs && us <= lastUs)).toBe(true);
          }
        });
      }),
    );
    for (const cause of ['tooSlow', 'notArmed', 'resting', 'tooShort'])
      expect(seen.get(cause), cause).toBeGreaterThan(0);
  });
});
