import { describe, expect, test } from 'vitest';
import type { Press, Span } from '../../../server/engine/base/log.ts';
import type { GuardSettings } from '../../../server/engine/detect/guard.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import { sweepGuard } from '../../../server/engine/sweep/guardSweep.ts';
import { referenceGuardSweep } from '../../reference/guardSweep.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { drawnSpeed } from './drawnSpeed.ts';

const RATE_HZ = 20;

function drawnTake(seed: number, length: number) {
  const { speed, trueSpeed, segments, random } = drawnSpeed(seed, length);
  const signals = fakeSignals(
    { swingSpeedDps: speed, trueSpeedDps: trueSpeed },
    { rateHz: RATE_HZ, segments, gapUs: 300_000 },
  );
  const endUs = signals.timeUs.at(-1)!;
  const moment = () => Math.floor(random() * endUs * 1.05);
  const presses: Press[] = Array.from({ length: 12 }, () => {
    const downUs = moment();
    const heldUs = random() < 0.5 ? 80_000 : Math.floor(random() * 1_500_000);
    return { button: 'power', downUs, upUs: random() < 0.2 ? null : downUs + heldUs };
  }).sort((a, b) => a.downUs - b.downUs);
  const labels: Labels = {
    presses: presses.map(({ downUs, button }, i) => ({
      downUs,
      button,
      intent: (['stray', 'wanted', 'unsure'] as const)[i % 3]!,
      by: 'person',
    })),
    spans: [],
    swings: [],
  };
  const spinning: Span[] = Array.from({ length: 3 }, () => {
    const startUs = moment();
    return { startUs, endUs: startUs + Math.floor(random() * endUs * 0.3) };
  });
  return { signals, presses, labels, spinning };
}

const base = (change: Partial<GuardSettings> = {}): GuardSettings => ({
  speedDps: 1,
  holdMs: 0,
  releaseRatio: 1,
  decideAt: 'press',
  heldLimitMs: 1000,
  pressLength: 'any',
  longFromMs: 500,
  debounceMs: 0,
  ...change,
});

describe('sweepGuard', () => {
  test('a blade that was last fast at the very first sample keeps the guard closed for the hold', () => {
    const signals = fakeSignals({ swingSpeedDps: [500, 0, 0, 0] }, { rateHz: RATE_HZ });
    const press = { button: 'power', downUs: 100_000, upUs: null };
    const labels = {
      presses: [{ ...press, intent: 'stray', by: 'person' }],
      spans: [],
      swings: [],
    } as Labels;
    const args = { signals, presses: [press], labels, spinning: [], base: base(), xs: [100], ys: [100, 150] };
    expect([...sweepGuard(args).wrong.strays]).toEqual(referenceGuardSweep(args).falseAccepts);
    expect([...sweepGuard(args).wrong.strays]).toEqual([1, 0]);
  });

  test('every cell equals, to the last bit, the scores of a run with those settings', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.constantFrom(1, 0.8, 0.3),
        fc.record({
          decideAt: fc.constantFrom('press' as const, 'release' as const, 'held' as const),
          heldLimitMs: fc.constantFrom(0, 150, 900, 4000),
          pressLength: fc.constantFrom('any' as const, 'short' as const, 'long' as const),
          longFromMs: fc.constantFrom(80, 300, 700),
          debounceMs: fc.constantFrom(0, 60, 400),
        }),
        fc.uniqueArray(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 8 }),
        fc.uniqueArray(fc.integer({ min: 0, max: 2500 }), { minLength: 1, maxLength: 6 }),
        (seed, releaseRatio, button, speeds, holds) => {
          const args = {
            ...drawnTake(seed, 400),
            base: base({ releaseRatio, ...button }),
            xs: speeds.sort((a, b) => a - b),
            ys: holds.sort((a, b) => a - b),
          };
          const swept = sweepGuard(args);
          const expected = referenceGuardSweep(args);
          expect([...swept.wrong.strays]).toEqual(expected.falseAccepts);
          expect([...swept.wrong.wanted]).toEqual(expected.falseRejects);
          expect([...swept.openShare]).toEqual(expected.openShare);
          expect([...swept.timesMs.waitMedianMs]).toEqual(expected.waitMedianMs);
          expect(expected.strays.every((n) => n === swept.sizes.strays)).toBe(true);
          expect(expected.wanted.every((n) => n === swept.sizes.wanted)).toBe(true);
          expect(expected.spinningS.every((s) => s === swept.sizes.spinningS)).toBe(true);
        },
      ),
      { numRuns: 150 },
    );
  });

  test('the drawn takes hold what the comparison is about: slips, refusals, stops and shares in between', () => {
    const seen = { slips: 0, refusals: 0, stops: 0, shares: 0 };
    for (let seed = 0; seed < 20; ++seed) {
      const swept = sweepGuard({
        ...drawnTake(seed, 400),
        base: base(),
        xs: [50, 250],
        ys: [0, 400],
      });
      if (swept.wrong.strays.some((k) => k > 0 && k < swept.sizes.strays)) ++seen.slips;
      if (swept.wrong.wanted.some((k) => k > 0)) ++seen.refusals;
      if (swept.timesMs.waitMedianMs.some((ms) => ms > 0)) ++seen.stops;
      if (swept.openShare.some((share) => share > 0 && share < 1)) ++seen.shares;
    }
    for (const count of Object.values(seen)) expect(count).toBeGreaterThan(5);
  });

  test('a longer hold never lets more strays through, refuses fewer wanted presses, or opens more', () => {
    for (let seed = 0; seed < 10; ++seed) {
      const ys = [0, 50, 100, 200, 400, 800, 1600];
      const swept = sweepGuard({ ...drawnTake(seed, 400), base: base(), xs: [100, 300], ys });
      for (let cell = 0; cell < 14; ++cell) {
        if (cell % 7 === 0) continue;
        expect(swept.wrong.strays[cell]).toBeLessThanOrEqual(swept.wrong.strays[cell - 1]!);
        expect(swept.wrong.wanted[cell]).toBeGreaterThanOrEqual(swept.wrong.wanted[cell - 1]!);
        expect(swept.openShare[cell]).toBeLessThanOrEqual(swept.openShare[cell - 1]!);
      }
    }
  });

  test.each<[string, number[], number[], RegExp]>([
    ['no speed', [], [0], /xs needs at least one/],
    ['no hold', [100], [], /ys needs at least one/],
    ['speeds that do not rise', [100, 100], [0], /xs must rise/],
    ['a NaN hold', [100], [Number.NaN], /ys must be finite/],
    ['a speed of 0', [0, 100], [0], /above 0/],
    ['a negative hold', [100], [-5, 0], /0 or more/],
  ])('%s is refused', (_name, xs, ys, message) => {
    expect(() => sweepGuard({ ...drawnTake(1, 50), base: base(), xs, ys })).toThrow(message);
  });
});
