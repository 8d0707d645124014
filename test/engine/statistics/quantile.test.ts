import { quantileSorted as libraryQuantile } from 'simple-statistics';
import { describe, expect, test } from 'vitest';
import { quantileSorted, spreadOf } from '../../../server/engine/statistics/quantile.ts';

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
