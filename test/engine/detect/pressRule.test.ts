import { expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { pressReason } from '../../../server/engine/words/presses.ts';
import { fakeSignals } from '../fakeSignals.ts';

const RATE_HZ = 100;
const settings = (change: Partial<GuardSettings> = {}): GuardSettings => ({
  ...DEFAULT_CANDIDATE.guard,
  ...{ speedDps: 240, holdMs: 120, ...change },
});
const press = (downMs: number, upMs: number): Press => ({
  button: 'power',
  downUs: downMs * 1000,
  upUs: upMs * 1000,
});
const judge = (signals: Signals, presses: readonly Press[], guard: GuardSettings) =>
  judgePresses(signals, runGuard(signals, guard), presses, guard);

// Drawn speed: 400 up to 50 ms, then 150 up to 90 ms, then 38.
const trace = [
  ...new Array<number>(6).fill(400),
  ...new Array<number>(4).fill(150),
  ...new Array<number>(30).fill(38),
];
const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });

test.each<[string, Partial<GuardSettings>, Press, boolean | null, string | null, string]>([
  [
    'held until the guard opens: it acts then',
    { decideAt: 'held' },
    press(100, 400),
    true,
    null,
    'accepted: 38 °/s when it had been held for 70 ms, last above 240 °/s 120 ms before, hold 120 ms',
  ],
  [
    'let go while the guard is closed',
    { decideAt: 'held' },
    press(60, 150),
    false,
    'hold',
    'refused by the hold: 150 °/s at the press, last above 240 °/s 10 ms before, 110 ms of the hold of 120 ms left',
  ],
  [
    'held, but for less than it takes within the limit',
    { decideAt: 'held', heldLimitMs: 50 },
    press(100, 400),
    false,
    'hold',
    'refused by the hold: 38 °/s at the press, last above 240 °/s 50 ms before, 70 ms of the hold of 120 ms left',
  ],
  [
    'held, and let through at once',
    { decideAt: 'held' },
    press(185, 300),
    true,
    null,
    'accepted: 38 °/s at the press, last above 240 °/s 130 ms before, hold 120 ms',
  ],
  [
    'a short press where the button answers to long ones',
    { pressLength: 'long' },
    press(185, 300),
    false,
    'length',
    'refused by its length: the button answers to long presses alone',
  ],
  [
    'a long press acts once it is long',
    { pressLength: 'long', longFromMs: 100 },
    press(60, 300),
    false,
    'hold',
    'refused by the hold: 38 °/s when it had been down for 100 ms, last above 240 °/s 110 ms before, 10 ms of the hold of 120 ms left',
  ],
  [
    'a short press is known to be one when it is let go',
    { pressLength: 'short' },
    press(100, 190),
    true,
    null,
    'accepted: 38 °/s at the release, last above 240 °/s 140 ms before, hold 120 ms',
  ],
])('%s', (_name, change, one, accepted, refusedBy, reason) => {
  const [verdict] = judge(signals, [one], settings(change));
  expect(verdict).toMatchObject({ accepted, refusedBy, press: one, pressIndex: 0 });
  expect(pressReason(verdict!)).toBe(reason);
});

test('a press that bounces is one press, from its first going down to its last letting go', () => {
  const signals = fakeSignals(
    { swingSpeedDps: [400, 400, 400, ...new Array(60).fill(0)] },
    { rateHz: RATE_HZ },
  );
  const bouncing = [press(0, 12), press(20, 25), press(31, 300), press(400, 420)];
  const verdicts = (change: Partial<GuardSettings>) =>
    judge(signals, bouncing, settings({ decideAt: 'held', holdMs: 100, ...change }));
  expect(verdicts({ debounceMs: 10 }).map(({ accepted, unknown }) => [accepted, unknown])).toEqual([
    [true, null],
    [null, 'bounce'],
    [null, 'bounce'],
    [true, null],
  ]);
  expect(pressReason(verdicts({ debounceMs: 10 })[1]!)).toContain('up for less than 10 ms');
  // The pause of 8 ms is no bounce any more, that of 6 ms is.
  expect(verdicts({ debounceMs: 7 }).map(({ accepted }) => accepted)).toEqual([false, true, null, true]);
  expect(verdicts({}).map(({ accepted }) => accepted)).toEqual([false, false, true, true]);
});

test('a press that is held into a gap is not known, whatever the guard', () => {
  const segments = [
    { start: 0, end: 5 },
    { start: 5, end: 60 },
  ];
  const signals = fakeSignals(
    { swingSpeedDps: new Array(60).fill(0) },
    { rateHz: RATE_HZ, segments, gapUs: 300_000 },
  );
  const [verdict] = judge(signals, [press(10, 500)], settings({ decideAt: 'held' }));
  expect(verdict).toMatchObject({ accepted: null, unknown: 'motion' });
});
