import { describe, expect, test } from 'vitest';
import { GuardDetector, type GuardSettings, runGuard } from '../../../server/engine/detect/guard.ts';
import { referenceGuard } from '../../reference/guard.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';
import { rateTrace, splitAt } from './traces.ts';

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

/** One character per 10 ms: 'H' = 240, just at the threshold, 'm' = 144, just at 0.6 of it, '.' = 0, '?' = NaN. */
const SPEED: Readonly<Record<string, number>> = { H: 240, m: 144, '.': 0, '?': Number.NaN };
const speeds = (trace: string) => Array.from(trace, (c) => SPEED[c]!);
const draw = (closed: Iterable<number | boolean>) => Array.from(closed, (c) => (c ? '#' : '-')).join('');

describe('one sample after the other', () => {
  test.each([
    // name, hold, ratio, speed, closed
    ['no hold: closed exactly while at or above', 0, 1, '.HH.H.', '-##-#-'],
    ['a hold of 10 ms is one sample: the same as none', 10, 1, '.HH.H.', '-##-#-'],
    ['a hold of 20 ms reaches one sample further', 20, 1, '.HH...', '-###--'],
    ['a hold of 21 ms is rounded up to three samples', 21, 1, '.H.....', '-###---'],
    ['a dip as wide as the hold keeps it closed', 30, 1, 'H..H...', '######-'],
    ['a dip one sample wider opens it for that sample', 30, 1, 'H...H...', '###-###-'],
    ['the hold counts from the last high sample, not the first', 20, 1, 'HHH...', '####--'],
    ['the dead band keeps it closed once it was high', 0, 0.6, '.Hmm.m', '-###--'],
    ['the dead band does not close it', 0, 0.6, '.mmH', '---#'],
    ['exactly the release speed is not below it', 0, 0.6, 'Hm', '##'],
    ['the hold starts where the dead band ends', 30, 0.6, 'Hm....', '####--'],
    ['the dead band does not prolong a hold that runs already', 30, 0.6, 'H.mmm', '###--'],
    ['NaN ends high and counts as time', 20, 0.6, 'H?m...', '##----'],
    ['NaN in a hold neither opens nor prolongs', 30, 1, 'H??...', '###---'],
    ['no swing at all: open throughout', 500, 1, '......', '------'],
  ])('%s', (_name, holdMs, releaseRatio, trace, expected) => {
    const closed = runGuard(
      fakeSignals({ swingSpeedDps: speeds(trace) }, { rateHz: RATE_HZ }),
      settings({ holdMs, releaseRatio }),
    );
    expect(draw(closed)).toBe(expected);
  });

  test('a gap opens it: the far side knows nothing of the hold', () => {
    const signals = fakeSignals(
      { swingSpeedDps: speeds('HH..H.') },
      {
        rateHz: RATE_HZ,
        segments: [
          { start: 0, end: 2 },
          { start: 2, end: 6 },
        ],
      },
    );
    expect(draw(runGuard(signals, settings({ holdMs: 40 })))).toBe('##--##');
  });

  test('with on >= 300 and off <= 150 it closes at 2 and 10, the plain threshold at 2, 5 and 10', () => {
    // Own rate series, worked out by hand; the comparator with hysteresis is that of O. H. Schmitt, J. Sci. Instrum. 15
    // (1938), 24-26, cited from memory.
    const rate = [0, 100, 310, 280, 290, 305, 200, 149, 160, 299, 301, 0];
    const closings = (releaseRatio: number) => {
      const guard = new GuardDetector(settings({ speedDps: 300, releaseRatio }), RATE_HZ);
      const closed = rate.map((v) => guard.step(v));
      return closed.flatMap((isClosed, i) => (isClosed && !closed[i - 1] ? [i] : []));
    };
    // "off <= 150" as "off below 150.0001": the next number above 150 would do as well.
    expect(closings(150.0001 / 300)).toEqual([2, 10]);
    expect(closings(1)).toEqual([2, 5, 10]);
  });

  test.each([
    ['speedDps', 0],
    ['speedDps', Number.NaN],
    ['holdMs', -1],
    ['holdMs', Infinity],
    ['holdMs', Number.NaN],
    ['releaseRatio', 0],
    ['releaseRatio', 1.01],
    ['releaseRatio', Number.NaN],
  ])('%s = %s is refused by name', (name, value) => {
    expect(() => new GuardDetector(settings({ [name]: value }), RATE_HZ)).toThrow(`guard.${name}`);
  });
});

describe('on any trace', () => {
  const anySettings = fc
    .record({ holdMs: fc.integer({ min: 0, max: 90 }), releaseRatio: fc.constantFrom(0.05, 0.6, 1) })
    .map(settings);

  test('it equals the reference that looks back from every sample, segment by segment', () => {
    fc.assert(
      fc.property(rateTrace, anySettings, fc.infiniteStream(fc.nat()), (trace, guard, cuts) => {
        const segments = splitAt(trace.length, cuts);
        const signals = fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ, segments });
        const holdSamples = Math.ceil((guard.holdMs * RATE_HZ) / 1000);
        const expected = segments.flatMap(({ start, end }) =>
          referenceGuard(trace.slice(start, end), guard, holdSamples),
        );
        expect(draw(runGuard(signals, guard))).toBe(draw(expected));
      }),
    );
  });

  test('one by one, in chunks after a restart of the caller, and as one batch it says the same', () => {
    fc.assert(
      fc.property(rateTrace, anySettings, fc.infiniteStream(fc.nat()), (trace, guard, cuts) => {
        const batch = runGuard(fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ }), guard);
        const detector = new GuardDetector(guard, RATE_HZ);
        const chunks = splitAt(trace.length, cuts).flatMap(({ start, end }) => {
          return trace.slice(start, end).map((v) => detector.step(v));
        });
        expect(draw(chunks)).toBe(draw(batch));
      }),
    );
  });

  test('it is causal: a change from sample k on leaves what came before', () => {
    fc.assert(
      fc.property(rateTrace, rateTrace, anySettings, fc.nat(), (trace, other, guard, at) => {
        const k = at % (trace.length + 1);
        const run = (v: readonly number[]) =>
          runGuard(fakeSignals({ swingSpeedDps: v }, { rateHz: RATE_HZ }), guard);
        const changed = [...trace.slice(0, k), ...other];
        if (changed.length === 0 || trace.length === 0) return;
        expect(draw(run(changed).subarray(0, k))).toBe(draw(run(trace).subarray(0, k)));
      }),
    );
  });

  test('it stays closed through a dip if and only if the hold is at least as wide as the dip', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 0, max: 700 }), (dipSamples, holdMs) => {
        const trace = [300, ...new Array<number>(dipSamples - 1).fill(20), 300];
        const closed = runGuard(
          fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ }),
          settings({ holdMs }),
        );
        const holdSamples = Math.max(1, Math.ceil((holdMs * RATE_HZ) / 1000));
        expect(closed.every((c) => c === 1)).toBe(holdSamples >= dipSamples);
      }),
    );
  });

  test('a longer hold, a lower speed or a lower release never opens it anywhere', () => {
    const shut = (trace: readonly number[], guard: GuardSettings) =>
      runGuard(fakeSignals({ swingSpeedDps: trace }, { rateHz: RATE_HZ }), guard);
    fc.assert(
      fc.property(
        rateTrace,
        anySettings,
        fc.nat(80),
        fc.constantFrom(1, 0.8, 0.3),
        (trace, guard, more, less) => {
          const base = shut(trace, guard);
          const tighter = [
            { ...guard, holdMs: guard.holdMs + more },
            { ...guard, speedDps: guard.speedDps * less },
            { ...guard, releaseRatio: guard.releaseRatio * less },
          ];
          for (const other of tighter) {
            const closed = shut(trace, other);
            expect(base.every((c, i) => c <= closed[i]!)).toBe(true);
          }
        },
      ),
    );
  });
});
