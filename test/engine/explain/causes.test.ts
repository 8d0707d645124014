import { describe, expect, test } from 'vitest';
import type { Press, Span } from '../../../server/engine/base/log.ts';
import { type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { judgePresses } from '../../../server/engine/detect/presses.ts';
import { explainSlip } from '../../../server/engine/explain/causes.ts';
import { smallestFixes } from '../../../server/engine/explain/fixes.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import { findReversals } from '../../../server/engine/truth/reversals.ts';
import { proposeSwings } from '../../../server/engine/truth/swings.ts';
import { fixText, slipText } from '../../../server/engine/words/slips.ts';
import { rateTrace } from '../detect/traces.ts';
import { fakeMotion, fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

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
const press = (downMs: number, upMs: number | null = null): Press => ({
  button: 'power',
  downUs: downMs * 1000,
  upUs: upMs === null ? null : upMs * 1000,
});
const SPIN: Span[] = [{ startUs: 0, endUs: 10_000_000 }];

function explain(
  signals: Signals,
  one: Press,
  guard: GuardSettings,
  rest: { spinning?: readonly Span[]; rates?: readonly number[] } = {},
) {
  const closed = runGuard(signals, guard);
  const verdict = judgePresses(signals, closed, [one], guard)[0]!;
  const motion = fakeMotion(rest.rates ?? [0, 0, 0], { rateHz: RATE_HZ });
  const swings = proposeSwings(motion);
  const spinning = rest.spinning ?? SPIN;
  const truth = { swings, spinning, reversals: findReversals(motion, swings, spinning) };
  const found = explainSlip({ signals, closed, verdict, settings: guard, truth });
  return found && { cause: found.reason.cause, text: slipText(found.reason), fixes: found.fixes };
}

/** Three swings of 300 ms; with `sign` -1 each goes back the way the last one came. */
const rates = (sign: number) =>
  Array.from(
    { length: 91 },
    (_, i) => 700 * Math.sin((Math.PI * (i % 30)) / 30) * sign ** Math.floor(i / 30),
  );
const speedSignals = (values: readonly number[]) =>
  fakeSignals({ swingSpeedDps: values.map(Math.abs) }, { rateHz: RATE_HZ });

describe('causes', () => {
  test('the dip of a reversal', () => {
    const found = explain(speedSignals(rates(-1)), press(300), settings(), { rates: rates(-1) });
    expect(found).toMatchObject({ cause: 'reversalDip' });
    // 700 sin(pi t / 300 ms) is last at 240 at 266 ms and there again at 334 ms: samples 26 and 34.
    expect(found?.text).toBe(
      'the blade turned back here (turn 180°) and was at 0 °/s; it stays below 240 °/s for 80 ms, and the hold is 0 ms',
    );
  });

  test('the same dip where the blade goes on in its direction is a slow part of the spin', () => {
    expect(explain(speedSignals(rates(1)), press(300), settings(), { rates: rates(1) })).toMatchObject({
      cause: 'slowPart',
    });
  });

  test('between no two swings of the spin: a slow part too', () => {
    const slow = speedSignals(new Array<number>(100).fill(150));
    expect(explain(slow, press(500), settings())?.text).toBe('the spin was down to 150 °/s here');
  });

  test('in no spin', () => {
    const found = explain(speedSignals(rates(-1)), press(300), settings(), { spinning: [] });
    expect(found).toMatchObject({
      cause: 'notSpinning',
      text: 'it came outside any spin, with the blade at 0 °/s',
    });
  });

  test('before the guard first closed in the spin', () => {
    const found = explain(speedSignals(rates(-1)), press(20), settings(), { rates: rates(-1) });
    expect(found?.cause).toBe('beforeFirstClosing');
    expect(found?.text).toContain('the speed reached 240 °/s 20 ms later');
  });

  test('the smoothing lags behind the true speed', () => {
    const signals = fakeSignals(
      { swingSpeedDps: [0, 300, 0, 100, 200, 300], trueSpeedDps: [0, 300, 100, 250, 350, 400] },
      { rateHz: RATE_HZ },
    );
    const found = explain(signals, press(30), settings());
    expect(found?.cause).toBe('smoothingDelay');
    expect(found?.text).toBe(
      'the smoothing lags: the blade was at 250 °/s already, the smoothed speed still at 100 °/s',
    );
  });

  test('judged when let go', () => {
    const signals = speedSignals([...new Array<number>(10).fill(400), ...new Array<number>(20).fill(50)]);
    const found = explain(signals, press(50, 150), settings({ decideAt: 'release' }));
    expect(found?.cause).toBe('decidedAtRelease');
    expect(found?.text).toContain('closed when the button went down, 100 ms before');
    expect(found?.fixes.at(-1)).toMatchObject({ path: 'guard.decideAt', value: 'press' });
  });

  test('a gap across which the hold would have reached', () => {
    const segments = [
      { start: 0, end: 5 },
      { start: 5, end: 10 },
    ];
    const signals = fakeSignals(
      { swingSpeedDps: [400, 400, 400, 400, 400, 50, 50, 50, 50, 50] },
      { rateHz: RATE_HZ, segments, gapUs: 60_000 },
    );
    // The last swing stands at 40 ms, the far side begins at 100 ms.
    expect(explain(signals, press(120), settings({ holdMs: 100 }))?.cause).toBe('gap');
    expect(explain(signals, press(120), settings({ holdMs: 100 }))?.text).toContain('80 ms before');
    expect(explain(signals, press(120), settings({ holdMs: 80 }))?.cause).toBe('slowPart');
  });

  test("a clipped sensor below the guard's speed", () => {
    const signals = speedSignals([100, 245, 250, 250, 100]);
    signals.saturated.set([0, 1, 1, 1, 0]);
    const found = explain(signals, press(40), settings({ speedDps: 300 }));
    expect(found?.cause).toBe('clipping');
    expect(found?.text).toBe(
      "a clipped sensor: it shows no more than 250 °/s here, and the guard's speed is 300 °/s",
    );
    expect(explain(signals, press(40), settings({ speedDps: 250, holdMs: 0 }))?.cause).not.toBe('clipping');
  });

  test('a press that was refused, or not judged, has no cause', () => {
    const signals = speedSignals(rates(-1));
    expect(explain(signals, press(150), settings())).toBe(null);
    expect(explain(signals, press(99_000), settings())).toBe(null);
  });
});

describe('smallestFixes', () => {
  test('for a press at the top of a swing: the hold, the speed and the ratio that would each do', () => {
    // 700 sin(pi t / 300 ms) has 240 °/s behind it at sample 26 (282 °/s), 40 ms before the press at 300 ms.
    const fixes = smallestFixes(speedSignals(rates(-1)), press(300), settings());
    expect(fixes).toEqual([{ path: 'guard.holdMs', value: 41 }]);
    const held = smallestFixes(speedSignals(rates(-1)), press(290), settings({ holdMs: 20 }));
    // At 280 ms the speed is 145.5, at 270 ms 216.3; the hold of 20 ms sees the samples at 280 and 290 ms.
    expect(held).toEqual([
      { path: 'guard.holdMs', value: 31 },
      { path: 'guard.speedDps', value: 145 },
      { path: 'guard.releaseRatio', value: 0.6 },
    ]);
    expect(held.map((fix) => fixText(fix, settings({ holdMs: 20 })))).toEqual([
      'a hold of 31 ms (now 20 ms)',
      'a speed of 145 °/s (now 240 °/s)',
      'a release ratio of 0.6 (now 1)',
    ]);
  });

  test('the other moment, where that would have refused it', () => {
    const signals = speedSignals([0, 0, 0, 0, 0, 400, 400, 400, 400, 400]);
    const [fix, ...others] = smallestFixes(signals, press(20, 80), settings());
    expect(fix).toEqual({ path: 'guard.decideAt', value: 'release' });
    expect(fixText(fix!, settings())).toBe('judged when the button is let go');
    expect(others).toEqual([]);
  });

  test('nothing helps where the blade never moved', () => {
    expect(smallestFixes(speedSignals(new Array<number>(50).fill(1)), press(300, 400), settings())).toEqual(
      [],
    );
  });

  test('each refuses the press, and a change smaller by one unit does not', () => {
    const accepted = (signals: Signals, one: Press, guard: GuardSettings) =>
      judgePresses(signals, runGuard(signals, guard), [one], guard)[0]?.accepted;
    let tried = 0;
    fc.assert(
      fc.property(
        rateTrace,
        fc.nat(599),
        fc.constantFrom(0, 15, 30, 90),
        fc.constantFrom(1, 0.8, 0.35),
        (trace, ms, holdMs, releaseRatio) => {
          const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
          const guard = settings({ holdMs, releaseRatio });
          const one = press(ms % (10 * trace.length));
          if (accepted(signals, one, guard) !== true) return;
          for (const fix of smallestFixes(signals, one, guard)) {
            ++tried;
            const name = fix.path.slice('guard.'.length) as 'speedDps' | 'holdMs' | 'releaseRatio';
            const value = fix.value as number;
            const nearer = { speedDps: value + 1, holdMs: value - 1, releaseRatio: value + 0.01 }[name];
            expect(accepted(signals, one, { ...guard, [name]: value })).toBe(false);
            expect(accepted(signals, one, { ...guard, [name]: nearer })).toBe(true);
          }
        },
      ),
      { numRuns: 600 },
    );
    expect(tried).toBeGreaterThan(200);
  });

  test('a setting that is left out would not refuse the press at any value', () => {
    fc.assert(
      fc.property(rateTrace, fc.nat(599), fc.constantFrom(0, 30), (trace, ms, holdMs) => {
        const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ });
        const guard = settings({ holdMs });
        const one = press(ms % (10 * trace.length));
        const refuses = (change: Partial<GuardSettings>) => {
          const changed = { ...guard, ...change };
          return judgePresses(signals, runGuard(signals, changed), [one], changed)[0]?.accepted === false;
        };
        if (judgePresses(signals, runGuard(signals, guard), [one], guard)[0]?.accepted !== true) return;
        const named = smallestFixes(signals, one, guard).map((fix) => fix.path);
        expect(named.includes('guard.holdMs')).toBe(refuses({ holdMs: 5000 }));
        expect(named.includes('guard.speedDps')).toBe(refuses({ speedDps: 5 }));
        expect(named.includes('guard.releaseRatio')).toBe(refuses({ releaseRatio: 0.05 }));
      }),
      { numRuns: 400 },
    );
  });
});
