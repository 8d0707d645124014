import { describe, expect, test } from 'vitest';
import { wilsonInterval } from '../../../server/engine/statistics/wilson.ts';

describe('wilsonInterval', () => {
  // Newcombe, Statistics in Medicine 17 (1998), 857-872, Table I. The limits of 81/263 were read in a text that quotes
  // the table (0.2553, 0.3662); all seven digits are [recomputed].
  test.each([
    [81, 263, 0.2552885, 0.3662096],
    [15, 148, 0.0623864, 0.1604872],
    [0, 20, 0, 0.1611252],
    [1, 29, 0.0061132, 0.1717552],
  ])('%i of %i as in the table of Newcombe (1998)', (k, n, low, high) => {
    const interval = wilsonInterval(k, n)!;
    expect(interval.low).toBeCloseTo(low, 6);
    expect(interval.high).toBeCloseTo(high, 6);
  });

  test('26 of 200: the one-sided 95 % lower limit of NIST e-Handbook 7.2.4.1 is printed as 0.09577', () => {
    expect(wilsonInterval(26, 200, 1.645)!.low).toBeCloseTo(0.09577, 5);
    expect(wilsonInterval(26, 200, 1.6448536269514722)!.low).toBeCloseTo(0.0957727482, 9); // [recomputed], exact z
  });

  test.each([
    // [recomputed]
    [0, 10, 0, 0.2775328],
    [10, 10, 0.7224672, 1],
    [48, 50, 0.8653991, 0.9889611],
    [4, 20, 0.0806577, 0.4160174],
    [0, 30, 0, 0.1135134],
  ])('%i of %i', (k, n, low, high) => {
    expect(wilsonInterval(k, n)!.low).toBeCloseTo(low, 6);
    expect(wilsonInterval(k, n)!.high).toBeCloseTo(high, 6);
  });

  test('none of none has no interval', () => {
    expect(wilsonInterval(0, 0)).toBe(null);
  });

  test('its ends solve the score equation |k/n - p| = z sqrt(p (1 - p) / n)', () => {
    const z = 1.959963984540054;
    for (const [k, n] of [
      [3, 7],
      [81, 263],
      [1, 1000],
    ] as const) {
      const { low, high } = wilsonInterval(k, n)!;
      for (const p of [low, high])
        expect(Math.abs(k / n - p)).toBeCloseTo(z * Math.sqrt((p * (1 - p)) / n), 12);
    }
  });

  test('it lies in [0, 1], holds k/n, mirrors, and touches the ends exactly at none and at all', () => {
    for (let n = 1; n <= 60; ++n) {
      for (let k = 0; k <= n; ++k) {
        const { low, high } = wilsonInterval(k, n)!;
        const mirror = wilsonInterval(n - k, n)!;
        expect(low >= 0 && high <= 1 && low <= k / n && k / n <= high && low < high).toBe(true);
        expect(low).toBeCloseTo(1 - mirror.high, 12);
        expect(low === 0).toBe(k === 0);
        expect(high === 1).toBe(k === n);
      }
    }
  });

  // Brown, Cai & DasGupta, Statistical Science 16 (2001), 101-133, give the coverage of the plain interval at these
  // points; Wilson's there is [recomputed], an exact sum over the binomial distribution.
  test.each([
    [17, 0.5, 0.950958],
    [40, 0.5, 0.961523],
    [30, 0.2, 0.963861],
    [98, 0.2, 0.957596],
  ])('with n = %i and p = %f it covers p in a share %f of all cases', (n, p, expected) => {
    let coverage = 0;
    let probability = (1 - p) ** n;
    for (let k = 0; k <= n; ++k) {
      const { low, high } = wilsonInterval(k, n)!;
      if (low <= p && p <= high) coverage += probability;
      probability *= ((n - k) / (k + 1)) * (p / (1 - p));
    }
    expect(coverage).toBeCloseTo(expected, 5);
  });

  test.each([
    [-1, 5],
    [6, 5],
    [1.5, 5],
    [0, -1],
    [0, 2.5],
    [Number.NaN, 5],
  ])('%f of %f is refused', (k, n) => {
    expect(() => wilsonInterval(k, n)).toThrow(RangeError);
  });

  test.each([0, -1, Number.NaN])('z = %f is refused', (z) => {
    expect(() => wilsonInterval(1, 2, z)).toThrow(/z must be above 0/);
  });
});
