import { describe, expect, test } from 'vitest';
import type { Press, Span } from '../../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import {
  EMPTY_LABELS,
  type Intent,
  type LabelBy,
  type Labels,
} from '../../../server/engine/labels/labels.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { scoreGuard } from '../../../server/engine/score/guardScore.ts';
import { stopIndices, waitsMs } from '../../../server/engine/score/waitAfterStop.ts';
import { fakeSignals } from '../fakeSignals.ts';

const RATE_HZ = 100;
const settings = (change: Partial<GuardSettings> = {}): GuardSettings => ({
  speedDps: 240,
  holdMs: 0,
  releaseRatio: 1,
  decideAt: 'press',
  heldLimitMs: 1000,
  pressLength: 'any',
  longFromMs: 500,
  debounceMs: 0,
  ...change,
});
const press = (downMs: number, button = 'power'): Press => ({ button, downUs: downMs * 1000, upUs: null });
const labelled = (...rows: readonly (readonly [number, Intent, LabelBy])[]): Labels => ({
  ...EMPTY_LABELS,
  presses: rows.map(([downMs, intent, by]) => ({ downUs: downMs * 1000, button: 'power', intent, by })),
});

function score(
  signals: Signals,
  rest: { presses?: Press[]; labels?: Labels; spinning?: Span[]; guard?: GuardSettings } = {},
) {
  const { presses = [], labels = EMPTY_LABELS, spinning = [], guard = settings() } = rest;
  const closed = runGuard(signals, guard);
  const verdicts = judgePresses(signals, closed, presses, guard);
  return scoreGuard({ signals, closed, verdicts, labels, spinning, settings: guard });
}

/** 'H' = 400 °/s, '.' = 0; one character per 10 ms. */
const drawn = (trace: string, trueTrace = trace) =>
  fakeSignals(
    {
      swingSpeedDps: Array.from(trace, (c) => (c === 'H' ? 400 : 0)),
      trueSpeedDps: Array.from(trueTrace, (c) => (c === 'H' ? 400 : 0)),
    },
    { rateHz: RATE_HZ },
  );

describe('presses', () => {
  const signals = drawn('HHHHH.....');
  const presses = [press(0), press(20), press(60), press(70), press(80), press(900)];

  test('counts each kind by what the guard did, with the interval and whose labels they are', () => {
    const labels = labelled(
      [0, 'stray', 'person'],
      [20, 'wanted', 'program'],
      [60, 'stray', 'simulation'],
      [70, 'wanted', 'person'],
      [80, 'unsure', 'person'],
      [900, 'stray', 'person'],
    );
    const found = score(signals, { presses, labels });
    expect(found.falseAccepts).toMatchObject({ k: 1, n: 2, byPerson: 1, byProgram: 1 });
    expect(found.falseRejects).toMatchObject({ k: 1, n: 2, byPerson: 1, byProgram: 1 });
    expect(found.falseAccepts.interval!.low).toBeCloseTo(0.0945312, 6); // 1 of 2, [recomputed]
    expect(found).toMatchObject({ unlabelled: 1, unknown: 1 });
  });

  test('without labels there are no shares, and no interval, and every press is unlabelled', () => {
    const found = score(signals, { presses });
    expect(found.falseAccepts).toEqual({ k: 0, n: 0, interval: null, byPerson: 0, byProgram: 0 });
    expect(found.unlabelled).toBe(6);
  });

  test("a person's label beats the program's for the same press, in either order", () => {
    const both = [
      [0, 'stray', 'program'],
      [0, 'wanted', 'person'],
    ] as const;
    for (const rows of [both, [both[1], both[0]]]) {
      const found = score(signals, { presses: [press(0)], labels: labelled(...rows) });
      expect(found.falseRejects).toMatchObject({ k: 1, n: 1, byPerson: 1, byProgram: 0 });
      expect(found.falseAccepts.n).toBe(0);
    }
  });

  test('a label of another button at the same moment is not its label', () => {
    const found = score(signals, { presses: [press(0, 'aux')], labels: labelled([0, 'stray', 'person']) });
    expect(found.unlabelled).toBe(1);
  });
});

describe('open share', () => {
  const signals = drawn('HH..HH....');

  test.each<[string, number, Span[], number | null, number]>([
    ['half of the samples inside are open', 0, [{ startUs: 0, endUs: 40_000 }], 0.5, 0.04],
    ['a hold closes one more of them', 20, [{ startUs: 0, endUs: 40_000 }], 0.25, 0.04],
    ['the end of a span is not inside', 0, [{ startUs: 0, endUs: 20_000 }], 0, 0.02],
    ['the start of a span is', 0, [{ startUs: 20_000, endUs: 40_000 }], 1, 0.02],
    [
      'spans that overlap count once',
      0,
      [
        { startUs: 0, endUs: 30_000 },
        { startUs: 10_000, endUs: 40_000 },
      ],
      0.5,
      0.04,
    ],
    [
      'spans out of order are fine',
      0,
      [
        { startUs: 40_000, endUs: 60_000 },
        { startUs: 0, endUs: 20_000 },
      ],
      0,
      0.04,
    ],
    ['no spinning', 0, [], null, 0],
    ['spinning outside the data', 0, [{ startUs: 9_000_000, endUs: 9_500_000 }], null, 0],
  ])('%s', (_name, holdMs, spinning, openShare, spinningS) => {
    expect(score(signals, { spinning, guard: settings({ holdMs }) })).toMatchObject({ openShare, spinningS });
  });
});

describe('wait after a stop', () => {
  const still = (samples: number) => '.'.repeat(samples);

  test.each<[string, string, number, object | null]>([
    ['without a hold it is one sample', `HH${still(101)}`, 0, { median: 10, p95: 10, n: 1 }],
    ['with a hold it is the hold, rounded up', `HH${still(101)}`, 115, { median: 120, p95: 120, n: 1 }],
    [
      'a pause of less than a second is no stop',
      `HH${still(99)}H${still(101)}`,
      50,
      { median: 50, p95: 50, n: 1 },
    ],
    ['a pause of a second is one', `HH${still(100)}H${still(101)}`, 50, { median: 50, p95: 50, n: 2 }],
    ['a take that ends within the second does not show a stop', `HH${still(99)}`, 0, null],
    ['a guard still closed at the end gives no wait', `HH${still(101)}`, 5000, null],
    ['no swing, no stop', still(200), 0, null],
  ])('%s', (_name, trace, holdMs, expected) => {
    expect(score(drawn(trace), { guard: settings({ holdMs }) }).waitAfterStopMs).toEqual(expected);
  });

  test('what the smoothing lags behind the true speed is part of the wait', () => {
    const lagging = drawn(`HHHHH${still(120)}`, `HH${still(123)}`);
    expect(score(lagging, { guard: settings({ holdMs: 50 }) }).waitAfterStopMs).toEqual({
      median: 80,
      p95: 80,
      n: 1,
    });
  });

  test.each([
    [
      'a smoothed speed that gets there only after the stop',
      `....HHH${still(120)}`,
      `HH${still(125)}`,
      0,
      60,
    ],
    ['one that trembles about the guard’s speed', `HH..HH.H${still(120)}`, `HH${still(126)}`, 0, 70],
    ['one that trembles, with a hold', `HH..HH.H${still(120)}`, `HH${still(126)}`, 30, 90],
  ])('%s: the wait lasts until the guard opens for good', (_name, causal, trueTrace, holdMs, ms) => {
    const { waitAfterStopMs } = score(drawn(causal, trueTrace), { guard: settings({ holdMs }) });
    expect(waitAfterStopMs).toEqual({ median: ms, p95: ms, n: 1 });
  });

  test('a stop across a gap is none', () => {
    const signals = fakeSignals(
      { swingSpeedDps: [400, ...new Array<number>(150).fill(0)] },
      {
        rateHz: RATE_HZ,
        segments: [
          { start: 0, end: 50 },
          { start: 50, end: 151 },
        ],
      },
    );
    expect(score(signals).waitAfterStopMs).toBe(null);
  });
});

test('a wait ends within the stretch that its stop is in: what the guard does behind a gap is none of it', () => {
  const segments = [
    { start: 0, end: 30 },
    { start: 30, end: 60 },
  ];
  const signals = fakeSignals({ swingSpeedDps: new Array(60).fill(0) }, { rateHz: 10, segments });
  const closed = Uint8Array.from({ length: 60 }, (_, i) => (i < 36 ? 1 : 0));
  expect(waitsMs(signals, closed, [5, 30])).toEqual([600]);
});

test('a stop has its whole second below the speed, and inside one stretch', () => {
  const stops = (length: number, ...fast: number[]) => {
    const swingSpeedDps = Array.from({ length }, (_, i) => (fast.includes(i) ? 300 : 0));
    return stopIndices(fakeSignals({ swingSpeedDps }, { rateHz: 10 }), 300);
  };
  expect([stops(16, 5, 15), stops(17, 5, 16), stops(17, 0, 11)]).toEqual([[], [5], [0]]);
  expect([stops(15, 5), stops(16, 5), stops(11, 0)]).toEqual([[], [5], [0]]);
});
