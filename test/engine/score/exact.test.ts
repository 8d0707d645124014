import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';
import { describe, expect, test } from 'vitest';
import { atLeast } from '../../../server/engine/statistics/binomial.ts';
import { clopperPearsonInterval } from '../../../server/engine/statistics/clopperPearson.ts';
import { mcnemar } from '../../../server/engine/statistics/mcnemar.ts';

describe('atLeast', () => {
  test.each([
    // [recomputed] by hand: sums of binomial coefficients over powers of two.
    [0, 4, 0.5, 1],
    [1, 4, 0.5, 15 / 16],
    [3, 4, 0.5, 5 / 16],
    [4, 4, 0.5, 1 / 16],
    [15, 20, 0.5, 21700 / 2 ** 20],
  ])('%i or more of %i at p = %f: %f', (k, n, p, expected) => {
    expect(atLeast(k, n, p)).toBeCloseTo(expected, 14);
  });

  test('at p = 0 and 1, and for 0 or more, it is 0 or 1', () => {
    expect([atLeast(1, 5, 0), atLeast(5, 5, 1), atLeast(0, 5, 0), atLeast(0, 0, 0.3)]).toEqual([0, 1, 1, 1]);
  });

  test('it is what "n - k or fewer failures" leaves, for large n and small tails too', () => {
    for (const [k, n, p] of [
      [30, 2000, 0.01],
      [1990, 2000, 0.99],
      [700, 2000, 0.3],
    ] as const) {
      expect(atLeast(k, n, p) + atLeast(n - k + 1, n, 1 - p)).toBeCloseTo(1, 11);
    }
    expect(atLeast(200, 200, 0.001)).toBeCloseTo(0, 300);
  });
});

describe('clopperPearsonInterval', () => {
  // Newcombe, Statistics in Medicine 17 (1998), Table I, method 5; digits [recomputed].
  test.each([
    [81, 263, 0.2527367, 0.3676219],
    [15, 148, 0.057844, 0.1616505],
    [0, 20, 0, 0.1684335],
    [1, 29, 0.0008726, 0.1776443],
    // further pairs, not in that table, [recomputed]
    [0, 10, 0, 0.3084971],
    [10, 10, 0.6915029, 1],
    [4, 20, 0.057334, 0.436614],
    [0, 30, 0, 0.1157033],
    [48, 50, 0.8628624, 0.9951186],
    [26, 200, 0.0867084, 0.1846523],
  ])('%i of %i', (k, n, low, high) => {
    expect(clopperPearsonInterval(k, n)!.low).toBeCloseTo(low, 6);
    expect(clopperPearsonInterval(k, n)!.high).toBeCloseTo(high, 6);
  });

  test('4 of 20 at 90 %: NIST e-Handbook 7.2.4.1 prints 0.071354 and, off in its sixth digit, 0.401029', () => {
    const { low, high } = clopperPearsonInterval(4, 20, 0.9)!;
    expect(Math.abs(low - 0.071354)).toBeLessThan(2e-6);
    expect(Math.abs(high - 0.401029)).toBeLessThan(2e-6);
    expect(low).toBeCloseTo(0.0713538843, 10); // [recomputed]
    expect(high).toBeCloseTo(0.4010281173, 10); // [recomputed]
  });

  test('its ends are quantiles of beta distributions, as another library computes them', () => {
    for (const n of [1, 7, 29, 263, 1000]) {
      for (const k of [0, 1, Math.floor(n / 3), n - 1, n]) {
        const { low, high } = clopperPearsonInterval(k, n)!;
        if (k > 0) expect(low).toBeCloseTo(betaQuantile(0.025, k, n - k + 1), 11);
        if (k < n) expect(high).toBeCloseTo(betaQuantile(0.975, k + 1, n - k), 11);
      }
    }
  });

  // Hanley & Lippman-Hand, JAMA 249 (1983), 1743-1745, the rule of three; exact values 1 - 0.05^(1/n) [recomputed].
  test.each([
    [10, 0.2588656],
    [20, 0.1391083],
    [30, 0.0950339],
    [59, 0.0495076],
    [100, 0.029513],
    [300, 0.0099361],
  ])('none of %i: the one-sided 95 %% limit is %f', (n, limit) => {
    expect(clopperPearsonInterval(0, n, 0.9)!.high).toBeCloseTo(limit, 7);
  });

  test('none of none has no interval; a confidence of 0 or 1 is refused', () => {
    expect(clopperPearsonInterval(0, 0)).toBe(null);
    for (const confidence of [0, 1, Number.NaN]) {
      expect(() => clopperPearsonInterval(1, 2, confidence)).toThrow(/confidence/);
    }
  });
});

describe('mcnemar', () => {
  // McNemar, Psychometrika 12 (1947), 153-157. The counts 86 and 150 are those of a table of approval ratings in
  // Agresti's textbook, cited from memory; all values [recomputed].
  test.each([
    [5, 15, 0.0413894653],
    [1, 9, 0.021484375],
    [0, 6, 0.03125],
    [86, 150, 3.715936e-5],
  ])('%i against %i', (b, c, p) => {
    expect(Math.abs(mcnemar(b, c)! / p - 1)).toBeLessThan(2e-7);
    expect(mcnemar(c, b)).toBe(mcnemar(b, c));
  });

  test('as many each way: no sign of a difference', () => expect(mcnemar(4, 4)).toBe(1));

  test('nothing to tell apart gives null; counts that are none are refused', () => {
    expect(mcnemar(0, 0)).toBe(null);
    for (const bad of [-1, 1.5, Number.NaN]) expect(() => mcnemar(bad, 2)).toThrow(RangeError);
  });
});
