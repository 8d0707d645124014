import { describe, expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import { runDeflection } from '../../../server/engine/detect/deflection.ts';
import { type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { pressReason } from '../../../server/engine/words/presses.ts';
import { referenceGuard } from '../../reference/guard.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { rateTrace } from './traces.ts';

const RATE_HZ = 100;
const settings = (change: Partial<GuardSettings> = {}): GuardSettings => ({
  speedDps: 240,
  holdMs: 120,
  releaseRatio: 1,
  decideAt: 'press',
  heldLimitMs: 1000,
  pressLength: 'any',
  longFromMs: 500,
  debounceMs: 0,
  ...change,
});
const press = (downMs: number, upMs: number | null = downMs + 80): Press => ({
  button: 'power',
  downUs: downMs * 1000,
  upUs: upMs === null ? null : upMs * 1000,
});
const judge = (signals: Signals, presses: readonly Press[], guard: GuardSettings) =>
  judgePresses(signals, runGuard(signals, guard), presses, guard);

/** Two swings of 300 ms and 700 °/s with a reversal between them, then a second at rest; one sample each 10 ms. */
const spin = Float64Array.from({ length: 160 }, (_, i) =>
  i < 60 ? 700 * Math.abs(Math.sin((Math.PI * i) / 30)) : 0,
);
const spinSignals = fakeSignals({ swingSpeedDps: spin }, { rateHz: RATE_HZ });

describe('reasons', () => {
  // Drawn speed: 400 up to 50 ms, then 150 (between 0.6 of 240 and 240) up to 90 ms, then 38.
  const trace = [
    ...new Array<number>(6).fill(400),
    ...new Array<number>(4).fill(150),
    ...new Array<number>(30).fill(38),
  ];
  const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });

  test.each<[string, Partial<GuardSettings>, Press, boolean | null, string | null, string]>([
    [
      'let through after a swing',
      {},
      press(185),
      true,
      null,
      'accepted: 38 °/s at the press, last above 240 °/s 130 ms before, hold 120 ms',
    ],
    [
      'let through without a hold',
      { holdMs: 0 },
      press(185),
      true,
      null,
      'accepted: 38 °/s at the press, last above 240 °/s 130 ms before, no hold',
    ],
    [
      'let through without a swing',
      { speedDps: 900 },
      press(185),
      true,
      null,
      'accepted: 38 °/s at the press, not at 900 °/s in the 10 s before, hold 120 ms',
    ],
    [
      'refused by the speed',
      {},
      press(30),
      false,
      'speed',
      'refused by the speed: 400 °/s at the press, not below 240 °/s',
    ],
    [
      'refused by the hold',
      {},
      press(100),
      false,
      'hold',
      'refused by the hold: 38 °/s at the press, last above 240 °/s 50 ms before, 70 ms of the hold of 120 ms left',
    ],
    [
      'refused by the release ratio',
      { releaseRatio: 0.6 },
      press(90),
      false,
      'release',
      'refused by the release ratio: 150 °/s at the press, not yet below 144 °/s (0.6 of 240)',
    ],
    [
      'refused by a hold that starts at the release speed',
      { releaseRatio: 0.6 },
      press(140),
      false,
      'hold',
      'refused by the hold: 38 °/s at the press, last above 144 °/s (0.6 of 240) 50 ms before, 70 ms of the hold of 120 ms left',
    ],
    [
      'decided when let go',
      { decideAt: 'release' },
      press(30, 190),
      true,
      null,
      'accepted: 38 °/s at the release, last above 240 °/s 140 ms before, hold 120 ms',
    ],
    [
      'decided when let go, at an unknown time',
      { decideAt: 'release' },
      press(30, null),
      null,
      null,
      'unknown: the log does not say when it was let go',
    ],
    ['after the data', {}, press(5000), null, null, 'unknown: no motion data at the press'],
    ['before the data', {}, press(-1), null, null, 'unknown: no motion data at the press'],
  ])('%s', (_name, change, one, accepted, refusedBy, reason) => {
    const [verdict] = judge(signals, [one], settings(change));
    expect(verdict).toMatchObject({ accepted, refusedBy, press: one, pressIndex: 0 });
    expect(pressReason(verdict!)).toBe(reason);
  });

  test('numbers are not rounded to the other side of what they are compared with', () => {
    const near = fakeSignals({ swingSpeedDps: [500, 239.96, 239.96] }, { rateHz: RATE_HZ });
    const [verdict] = judge(near, [press(20)], settings({ holdMs: 0 }));
    expect(pressReason(verdict!)).toContain('239.96 °/s at the press, last above 240 °/s 20 ms before');
    const odd = fakeSignals({ swingSpeedDps: [500, 0, 0, 0] }, { rateHz: 104 });
    const [held] = judge(odd, [press(10)], settings({ holdMs: 9.7 }));
    expect(held).toMatchObject({ accepted: false });
    expect(pressReason(held!)).toContain('9.6 ms before, 9.7 ms of the hold of 9.7 ms left');
  });

  test('the times of a verdict are those of the samples, and of the moment judged', () => {
    const [verdict] = judge(signals, [press(185)], settings());
    expect(verdict).toMatchObject({ decidedUs: 185_000, speedDps: 38, lastAboveUs: 50_000 });
  });

  test('a NaN speed is let through, and said', () => {
    const broken = fakeSignals({ swingSpeedDps: [0, Number.NaN] }, { rateHz: RATE_HZ });
    const [verdict] = judge(broken, [press(10)], settings());
    expect(verdict?.accepted).toBe(true);
    expect(pressReason(verdict!)).toContain('no speed known at the press');
  });
});

test('between two samples that are a little more than a step apart a press is judged by the first', () => {
  // a log whose steps differ by up to 1 % keeps its own stamps
  const signals = fakeSignals({ swingSpeedDps: [400, 400, 0, 0] }, { rateHz: RATE_HZ });
  const late = { ...signals, timeUs: Float64Array.of(0, 10_000, 20_090, 30_000) };
  const [verdict] = judge(late, [press(20.05)], settings({ holdMs: 0 }));
  expect(verdict).toMatchObject({ accepted: false, speedDps: 400 });
});

describe('gaps', () => {
  const segments = [
    { start: 0, end: 5 },
    { start: 5, end: 10 },
  ];
  const signals = fakeSignals(
    { swingSpeedDps: new Array(10).fill(400) },
    { rateHz: RATE_HZ, segments, gapUs: 300_000 },
  );

  test.each<[string, number, boolean | null]>([
    ['within one step of the last sample before the gap: judged by it', 49.9, false],
    ['in the gap: unknown', 51, null],
    ['just before the far side: unknown', 339.9, null],
    ['on the far side: judged', 340, false],
  ])('%s', (_name, downMs, accepted) => {
    expect(judge(signals, [press(downMs)], settings())[0]?.accepted).toBe(accepted);
  });

  test('a swing before the gap is not seen after it', () => {
    const quietAfter = fakeSignals(
      { swingSpeedDps: [400, 400, 400, 400, 400, 0, 0, 0, 0, 0] },
      { rateHz: RATE_HZ, segments, gapUs: 50_000 },
    );
    const [verdict] = judge(quietAfter, [press(90)], settings({ holdMs: 500 }));
    expect(verdict).toMatchObject({ accepted: true, lastAboveUs: null });
  });
});

const PLAIN_DEFLECTION = {
  ...DEFAULT_CANDIDATE.deflection,
  speedDps: 240,
  rearmRatio: 0.6,
  restMs: 0,
  confirmMs: 0,
};

describe('common practice', () => {
  test('a press in mid-swing is refused', () => {
    expect(judge(spinSignals, [press(150)], settings())[0]?.accepted).toBe(false);
  });

  test('a press while the blade is carried slowly is accepted', () => {
    const carried = fakeSignals({ swingSpeedDps: new Array(200).fill(60) }, { rateHz: RATE_HZ });
    expect(judge(carried, [press(1000)], settings())[0]?.accepted).toBe(true);
  });

  test('without a hold, a press at the top of a swing slips through in the middle of a spin', () => {
    expect(judge(spinSignals, [press(300)], settings({ holdMs: 0 }))[0]?.accepted).toBe(true);
  });

  test('with a hold as long as the dip, the same press is refused', () => {
    expect(judge(spinSignals, [press(300)], settings({ holdMs: 80 }))[0]).toMatchObject({
      accepted: false,
      refusedBy: 'hold',
    });
  });

  test('a press after the blade has come to rest is accepted, hold or no hold', () => {
    for (const holdMs of [0, 120, 500]) {
      expect(judge(spinSignals, [press(1500)], settings({ holdMs }))[0]?.accepted).toBe(true);
    }
  });

  test('at one speed for both, a swing that deflects also closes the guard; neither needs a press', () => {
    const fires = runDeflection(spinSignals, PLAIN_DEFLECTION)!;
    const closed = runGuard(spinSignals, settings({ holdMs: 0 }));
    expect(fires).toHaveLength(2);
    for (const fire of fires) expect(closed[fire]).toBe(1);
    expect(judge(spinSignals, [], settings())).toEqual([]);
  });

  test('a press without a swing triggers no deflection and closes no guard', () => {
    const still = fakeSignals({ swingSpeedDps: new Array(100).fill(0) }, { rateHz: RATE_HZ });
    expect(runDeflection(still, PLAIN_DEFLECTION)).toHaveLength(0);
    expect(runGuard(still, settings()).every((c) => c === 0)).toBe(true);
    expect(judge(still, [press(500)], settings())[0]?.accepted).toBe(true);
  });
});

describe('on any trace', () => {
  test('a longer hold never lets more presses through', () => {
    fc.assert(
      fc.property(
        rateTrace,
        fc.nat(90),
        fc.nat(90),
        fc.array(fc.nat(600)),
        (trace, holdMs, moreMs, moments) => {
          const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
          const presses = moments.map((ms) => press(ms));
          const shorter = judge(signals, presses, settings({ holdMs }));
          const longer = judge(signals, presses, settings({ holdMs: holdMs + moreMs }));
          shorter.forEach((verdict, i) => {
            if (verdict.accepted === false) expect(longer[i]?.accepted).toBe(false);
            if (verdict.accepted === null) expect(longer[i]?.accepted).toBe(null);
          });
        },
      ),
    );
  });

  test('every judged press is accepted where the guard is open and refused, by one of its parts, where it is closed', () => {
    fc.assert(
      fc.property(
        rateTrace,
        fc.nat(90),
        fc.constantFrom(0.3, 1),
        fc.nat(600),
        (trace, holdMs, releaseRatio, ms) => {
          const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
          const guard = settings({ holdMs, releaseRatio });
          const [verdict] = judge(signals, [press(ms)], guard);
          const index = Math.floor(ms / 10);
          if (ms > trace.length * 10) {
            expect(verdict?.accepted).toBe(null);
            return;
          }
          const isClosed = runGuard(signals, guard)[Math.min(index, trace.length - 1)] === 1;
          expect(verdict?.accepted).toBe(!isClosed);
          expect(verdict?.refusedBy !== null).toBe(isClosed);
          const at = Math.min(index, trace.length - 1);
          const highs = referenceGuard(trace.slice(0, at + 1), { ...guard, holdMs: 0 }, 0);
          const last = highs.lastIndexOf(true);
          expect(verdict?.lastAboveUs).toBe(last < 0 ? null : last * 10_000);
        },
      ),
    );
  });
});
