import { describe, expect, test } from 'vitest';
import { samplesFromMs } from '../../../server/engine/base/sampleCount.ts';
import { runGuard } from '../../../server/engine/detect/guard.ts';
import {
  holdNeededMs,
  holdNeededSamples,
  sweepReversals,
} from '../../../server/engine/explain/reversalHolds.ts';
import { dipWidthUs } from '../../../server/engine/truth/reversals.ts';
import { drawn, drawnTake, guard, RATE_HZ } from '../choose/drawnTake.ts';
import { fakeSignals } from '../fakeSignals.ts';
import { fc } from '../properties.ts';

const settings = { speedDps: 300, releaseRatio: 1 };

/** 10 ms a sample; the reversal is where '*' stands, which counts as a 0. */
function needed(text: string, change: Partial<typeof settings> = {}): number | null {
  const signals = fakeSignals({ swingSpeedDps: drawn(text.replace('*', '0')) }, { rateHz: 100 });
  return holdNeededSamples(signals, { index: text.indexOf('*') }, { ...settings, ...change });
}

describe('the hold that a reversal needs', () => {
  test.each([
    ['reaches from the last sample at the speed to the next one at it', '55200*002355', 8],
    ['is 2 samples where one sample is below', '555*555', 2],
    ['is null where the speed was not there before', '2220*0555', null],
    ['is null where it does not come back', '5550*0222', null],
    ['is null where NaN lies between', '555?0*0555', null],
  ])('%s: %s', (_name, text, samples) => expect(needed(text)).toBe(samples));

  test('is 0 where the speed stays at or above it throughout', () => {
    const signals = fakeSignals({ swingSpeedDps: drawn('5554345555') }, { rateHz: 10 });
    expect(holdNeededSamples(signals, { index: 5 }, settings)).toBe(0);
  });

  test('a low release ratio keeps the guard high for longer, so that it needs less', () => {
    expect(needed('5522*0255', { releaseRatio: 1 })).toBe(6);
    expect(needed('5522*0255', { releaseRatio: 0.5 })).toBe(4);
    expect(needed('5511*1155', { releaseRatio: 0.3 })).toBe(4);
  });

  test('a low release ratio under the whole dip needs none', () => {
    const signals = fakeSignals({ swingSpeedDps: drawn('552112255') }, { rateHz: 100 });
    expect(holdNeededSamples(signals, { index: 4 }, { speedDps: 300, releaseRatio: 0.3 })).toBe(0);
  });

  test('nor does it where the dip outlasts the longest hold: the guard is high all the way', () => {
    const { speedDps, releaseRatio } = { speedDps: 300, releaseRatio: 0.3 };
    const signals = fakeSignals({ swingSpeedDps: drawn(`5${'2'.repeat(20)}5`) }, { rateHz: 100 });
    expect(holdNeededSamples(signals, { index: 10 }, { speedDps, releaseRatio }, 6)).toBe(0);
    // low from half way on: the hold counts from there
    const lower = fakeSignals({ swingSpeedDps: drawn(`5${'2'.repeat(20)}0005`) }, { rateHz: 100 });
    expect(holdNeededSamples(lower, { index: 10 }, { speedDps, releaseRatio }, 6)).toBe(4);
    expect(holdNeededSamples(lower, { index: 10 }, { speedDps, releaseRatio }, 3)).toBe(null);
    const open = sweepReversals({
      signals,
      reversals: [{ index: 10, timeUs: 100_000, lowestDps: 200, turnDeg: 180, peakBefore: 0, peakAfter: 21 }],
      releaseRatio,
      speedsDps: Float64Array.of(speedDps),
      holdsMs: Float64Array.of(0, 60),
    });
    expect(runGuard(signals, guard({ speedDps, releaseRatio })).includes(0)).toBe(false);
    expect([...open]).toEqual([0, 0]);
  });

  test('nothing is looked for across a gap', () => {
    const segments = [
      { start: 0, end: 3 },
      { start: 3, end: 8 },
    ];
    const signals = fakeSignals({ swingSpeedDps: drawn('55500555') }, { rateHz: 100, segments });
    expect(holdNeededSamples(signals, { index: 3 }, settings)).toBe(null);
  });

  test('a dip of the causal speed that comes up to 100 ms late is still found', () => {
    const signals = fakeSignals({ swingSpeedDps: drawn('5555550055') }, { rateHz: 100 });
    expect(holdNeededSamples(signals, { index: 1 }, settings)).toBe(3);
  });

  test('on random speeds with gaps, at ratio 1, it is the dip width in samples', () => {
    fc.assert(
      fc.property(fc.nat(), fc.integer({ min: 1, max: 700 }), (seed, speedDps) => {
        const { signals, truth } = drawnTake(seed);
        for (const { index } of truth.reversals) {
          const widthUs = dipWidthUs(signals.swingSpeedDps, signals.timeUs, index, speedDps);
          const samples = holdNeededSamples(signals, { index }, { speedDps, releaseRatio: 1 }, 1e6);
          if (widthUs === null) expect(samples).toBe(null);
          // stamps are whole microseconds: half of one at either end
          else expect(Math.abs(holdNeededMs(samples!, RATE_HZ) - widthUs / 1000)).toBeLessThan(0.0011);
        }
      }),
    );
  });

  test.each([
    // 31 samples are 155.006 ms: a hold of 155 ms is rounded up to them
    [31, 199.992, 155],
    [31, 200.01, 155],
    [24, 200, 120],
    [25, 400, 63],
    [1, 3000, 1],
    [4, 3000, 2],
    [0, 100, 0],
  ])('%i samples at %d Hz are written as a hold of %i ms', (samples, rateHz, holdMs) => {
    expect(holdNeededMs(samples, rateHz)).toBe(holdMs);
  });

  test('the hold as it is written spans the samples, and is less than a ms longer than they are', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 5000 }),
        fc.double({ min: 20, max: 8000, noNaN: true }),
        (samples, rateHz) => {
          const holdMs = holdNeededMs(samples, rateHz);
          expect(Number.isInteger(holdMs)).toBe(true);
          expect(samplesFromMs(holdMs, rateHz)).toBeGreaterThanOrEqual(samples);
          expect(holdMs - (samples * 1000) / rateHz).toBeLessThan(1);
        },
      ),
    );
  });

  test('on random speeds, with exactly that hold the guard is closed all the way through, with one sample less not', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.integer({ min: 1, max: 700 }),
        fc.constantFrom(1, 0.8, 0.3),
        (seed, speedDps, releaseRatio) => {
          const { signals, truth } = drawnTake(seed);
          for (const { index } of truth.reversals) {
            const samples = holdNeededSamples(signals, { index }, { speedDps, releaseRatio });
            if (samples === null || samples < 2) continue;
            const holdMs = holdNeededMs(samples, RATE_HZ);
            const [from, to] = dipOf(signals.swingSpeedDps, index, speedDps);
            const isClosed = (ms: number) =>
              !runGuard(signals, guard({ speedDps, releaseRatio, holdMs: ms }))
                .subarray(from, to)
                .includes(0);
            expect(isClosed(holdMs)).toBe(true);
            expect(isClosed(holdMs - 1000 / RATE_HZ)).toBe(false);
          }
        },
      ),
    );
  });
});

/** From the first sample below the speed after the last one at it, to the next one at it. */
function dipOf(speed: Float64Array, index: number, speedDps: number): [number, number] {
  let inside = index;
  while (speed[inside]! >= speedDps) ++inside;
  let from = inside;
  while (!(speed[from - 1]! >= speedDps)) --from;
  let to = inside;
  while (!(speed[to]! >= speedDps)) ++to;
  return [from, to];
}

test('a sweep over reversals counts, in every cell, those that need a longer hold than the cell has', () => {
  fc.assert(
    fc.property(
      fc.nat(),
      fc.constantFrom(1, 0.6),
      fc.uniqueArray(fc.integer({ min: 1, max: 700 }), { minLength: 1, maxLength: 6 }),
      fc.uniqueArray(fc.integer({ min: 0, max: 2500 }), { minLength: 1, maxLength: 6 }),
      (seed, releaseRatio, speeds, holds) => {
        const { signals, truth } = drawnTake(seed);
        const speedsDps = Float64Array.from(speeds).sort();
        const holdsMs = Float64Array.from(holds).sort();
        const open = sweepReversals({
          signals,
          reversals: truth.reversals,
          releaseRatio,
          speedsDps,
          holdsMs,
        });
        const naive = [...speedsDps].flatMap((speedDps) =>
          [...holdsMs].map((holdMs) => {
            const samples = Math.max(1, Math.ceil((holdMs * RATE_HZ) / 1000 - 1e-9));
            return truth.reversals.filter((reversal) => {
              const needed = holdNeededSamples(signals, reversal, { speedDps, releaseRatio });
              return needed === null || needed > samples;
            }).length;
          }),
        );
        expect([...open]).toEqual(naive);
      },
    ),
    { numRuns: 60 },
  );
});
