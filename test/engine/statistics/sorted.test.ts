import fc from 'fast-check';
import { quantileSorted as libraryQuantile, medianSorted } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import {
  firstAfter,
  firstAtOrAfter,
  firstWhere,
  quantileSorted,
  spreadOf,
  upperMedian,
} from '../../../server/engine/statistics/sorted.ts';
import { seededRandom } from '../../seeded.ts';

const values = fc.array(fc.double({ noNaN: true, min: -50, max: 50 }).map((x) => Math.round(x) + 0));

describe('where a value stands', () => {
  const RISING = [10, 20, 20, 30];
  test.each([
    ['below all', 5, 0, 0],
    ['at one', 10, 0, 1],
    ['at two that are equal', 20, 1, 3],
    ['between', 25, 3, 3],
    ['above all', 31, 4, 4],
  ])('%s', (_name, value, atOrAfter, after) => {
    expect(firstAtOrAfter(RISING, value)).toBe(atOrAfter);
    expect(firstAfter(RISING, value)).toBe(after);
  });

  test('is what counting the smaller ones gives, in columns of any type', () => {
    fc.assert(
      fc.property(values, fc.integer({ min: -60, max: 60 }), (some, value) => {
        const rising = Int32Array.from(some).sort();
        const below = rising.filter((one) => one < value).length;
        const upTo = rising.filter((one) => one <= value).length;
        expect([firstAtOrAfter(rising, value), firstAfter(rising, value)]).toEqual([below, upTo]);
        expect(firstWhere(rising.length, (k) => rising[k]! > value)).toBe(upTo);
      }),
    );
  });

  test('among none is the length', () => {
    expect([firstAtOrAfter([], 1), firstAfter([], 1), firstWhere(0, () => true)]).toEqual([0, 0, 0]);
  });
});

describe('upperMedian', () => {
  test.each([
    [[3], 3],
    [[4, 1], 4],
    [[9, 100, 20], 20],
    [[4, 1, 3, 2], 3],
    [[Number.NaN, 1, 2], 2],
    [[], Number.NaN],
  ])('of %j is %d', (some, median) => expect(upperMedian(some)).toBe(median));

  test('is to the bit what sorting by a comparison gives, and leaves its input as it was', () => {
    fc.assert(
      fc.property(values, (some) => {
        const before = [...some];
        const sorted = [...some].sort((a, b) => a - b);
        expect(upperMedian(some)).toBe(sorted[some.length >> 1] ?? Number.NaN);
        if (some.length % 2 === 1) expect(upperMedian(some)).toBe(medianSorted(sorted));
        expect(some).toEqual(before);
      }),
    );
  });
});

describe('upperMedian of many', () => {
  const special = [Number.NaN, -0, 0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  test.each([
    ['drawn evenly', (random: () => number) => random() - 0.5],
    ['few different ones', (random: () => number) => Math.floor(random() * 4) - 1],
    ['a ramp', (_random: () => number, k: number) => k],
    ['up and down', (_random: () => number, k: number) => Math.abs(2000 - k)],
    [
      'with what is no number among them',
      (random: () => number) =>
        random() < 0.5 ? special[Math.floor(random() * special.length)]! : random() - 0.5,
    ],
    ['zeros of both signs', (random: () => number) => (random() < 0.5 ? -0 : 0)],
    ['hardly anything but no number', (random: () => number) => (random() < 0.6 ? Number.NaN : 1)],
  ])('%s: what sorting gives, to the bit', (_name, value) => {
    const random = seededRandom(4);
    for (let round = 0; round < 30; ++round) {
      const some = Float64Array.from({ length: 1000 + Math.floor(random() * 4000) }, (_, k) =>
        value(random, k),
      );
      const before = some.slice();
      expect(upperMedian(some)).toBe(some.slice().sort()[some.length >> 1]);
      expect(Buffer.compare(new Uint8Array(some.buffer), new Uint8Array(before.buffer))).toBe(0);
    }
  });
});

describe('quantileSorted', () => {
  // Definition 7 of Hyndman & Fan, The American Statistician 50 (1996), 361-365; values [recomputed].
  test.each([
    [0.05, 1.45],
    [0.1, 1.9],
    [0.25, 3.25],
    [0.5, 5.5],
    [0.9, 9.1],
    [0.95, 9.55],
    [0, 1],
    [1, 10],
  ])('of 1 to 10 at p = %f is %f', (p, expected) => {
    expect(quantileSorted([1, 2, 3, 4, 5, 6, 7, 8, 9, 10], p)).toBeCloseTo(expected, 12);
  });

  test.each([
    [0.1, 3],
    [0.25, 4],
    [0.5, 4.5],
    [0.75, 6.5],
    [0.9, 8],
  ])('of {2, 4, 4, 5, 7, 9} at p = %f is %f', (p, expected) => {
    expect(quantileSorted([2, 4, 4, 5, 7, 9], p)).toBeCloseTo(expected, 12);
  });

  test('it agrees with the median of a library at odd and even counts', () => {
    for (let n = 1; n < 12; ++n) {
      const values = Array.from({ length: n }, (_, i) => i * i);
      expect(quantileSorted(values, 0.5)).toBeCloseTo(libraryQuantile(values, 0.5), 12);
    }
  });

  test('no values, or p outside [0, 1], are refused', () => {
    expect(() => quantileSorted([], 0.5)).toThrow(RangeError);
    for (const p of [-0.1, 1.1, Number.NaN]) expect(() => quantileSorted([1], p)).toThrow(RangeError);
  });
});

describe('spreadOf', () => {
  test('sorts by size, not by text, and leaves its input as it was', () => {
    const values = [100, 9, 20];
    expect(spreadOf(values)).toEqual({ median: 20, p95: 92, n: 3 });
    expect(values).toEqual([100, 9, 20]);
  });

  test('is null without values', () => {
    expect(spreadOf([])).toBe(null);
  });
});
