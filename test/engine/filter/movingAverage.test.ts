import { describe, expect, test } from 'vitest';
import { smoothingGainDb } from '../../../server/engine/check/smoothingResponse.ts';
import { MovingAverage } from '../../../server/engine/filter/movingAverage.ts';
import { magnitudeOfResponse } from '../../reference/filter.ts';
import { slowAverage } from '../../reference/windowed.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';

function run(x: readonly number[], samples: number): number[] {
  const average = new MovingAverage(samples);
  average.prime(x[0]!);
  return x.map((value) => average.step(value));
}

test.each([1, 2, 3, 5, 8, 64, 501])('%d samples: every window’s mean, added up anew', (samples) => {
  const normal = seededNormal(samples);
  const x = Array.from({ length: 2000 }, () => 300 * normal());
  const slow = slowAverage(x, samples);
  run(x, samples).forEach((y, n) => {
    expect(Math.abs(y - slow[n]!)).toBeLessThan(1e-10);
  });
});

test('after a reset it is as new, the input before it having been 0', () => {
  const average = new MovingAverage(4);
  for (const x of [3, 7, 1e9, -5, 2]) average.step(x);
  average.reset();
  expect([4, 8, 12, 16, 20].map((x) => average.step(x))).toEqual([1, 3, 6, 10, 14]);
});

describe('over ten million samples', () => {
  const SAMPLES = 25;
  const LENGTH = 10_000_000;

  /** The furthest that a mean, taken a sample at a time, strays from the window's mean, looked at now and then. */
  function strays(step: (x: number) => number): { most: number; afterRest: number } {
    const random = seededRandom(5);
    const window = new Float64Array(SAMPLES);
    let most = 0;
    for (let n = 0; n < LENGTH; ++n) {
      // Roots, so that no sum of them is exact.
      const x = 3000 * Math.sqrt(random()) - 1000;
      window[n % SAMPLES] = x;
      const y = step(x);
      if (n % 9973 !== 0 || n < SAMPLES) continue;
      most = Math.max(most, Math.abs(y - window.reduce((sum, value) => sum + value, 0) / SAMPLES));
    }
    let afterRest = 0;
    for (let n = 0; n < 2 * SAMPLES; ++n) afterRest = step(0);
    return { most, afterRest };
  }

  test('it strays by no more than the rounding of one lap, and is back at 0 when the input rests there', () => {
    const average = new MovingAverage(SAMPLES);
    const { most, afterRest } = strays((x) => average.step(x));
    // 2 · 25 additions of at most 75 000, each rounded by half a unit in the last place, over 25.
    expect(most).toBeLessThan((2 * SAMPLES * 75_000 * 2 ** -53) / SAMPLES);
    expect(afterRest).toBe(0);
  });

  test('which a plain running sum would not be', () => {
    const window = new Float64Array(SAMPLES);
    let at = 0;
    let sum = 0;
    const { most, afterRest } = strays((x) => {
      sum += x - window[at]!;
      window[at] = x;
      at = (at + 1) % SAMPLES;
      return sum / SAMPLES;
    });
    expect(most).toBeGreaterThan((2 * SAMPLES * 75_000 * 2 ** -53) / SAMPLES);
    expect(afterRest).not.toBe(0);
  });
});

describe('its response', () => {
  const settings = { kind: 'movingAverage', order: 2, cutoffHz: 25, lengthMs: 25 } as const;
  /** At 1000 Hz a length of N ms is N samples. */
  const gainAt = (samples: number, partOfRate: number) =>
    10 ** (smoothingGainDb({ ...settings, lengthMs: samples }, 1000, 1000 * partOfRate)! / 20);

  // Smith, The Scientist and Engineer's Guide to DSP, 1997, ch. 15 (cited from memory): |sin(πfN) / (N sin(πf))|
  // [recomputed]
  test.each([
    [3, 0.155273707],
    [5, 0.0901587151],
    [8, 0.0557454183],
    [10, 0.0444870274],
  ])('%d samples: -3 dB at %d of the rate', (samples, partOfRate) => {
    expect(gainAt(samples, partOfRate)).toBeCloseTo(Math.SQRT1_2, 8);
  });

  test.each([
    [0.05, 0.904029404],
    [0.1, 0.647213595],
  ])('5 samples at %d of the rate: %d', (partOfRate, gain) => {
    expect(gainAt(5, partOfRate)).toBeCloseTo(gain, 8);
  });

  test.each([2, 5, 12])('%d samples: nothing at the first null, all at 0 Hz', (samples) => {
    expect(gainAt(samples, 1 / samples)).toBeLessThan(1e-12);
    expect(gainAt(samples, 0)).toBe(1);
  });

  test.each([2, 5, 12])('%d samples: the formula is the spectrum of what an impulse leaves', (samples) => {
    const average = new MovingAverage(samples);
    const h = Array.from({ length: 2 * samples }, (_, n) => average.step(n === 0 ? 1 : 0));
    for (const part of [0.01, 0.07, 0.13, 0.31, 0.499])
      expect(gainAt(samples, part)).toBeCloseTo(magnitudeOfResponse(h, part), 12);
  });
});

test.each([0, -3, 2.5, Number.NaN])('%d samples are refused', (samples) => {
  expect(() => new MovingAverage(samples)).toThrow(RangeError);
});
