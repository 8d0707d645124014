import { describe, expect, test } from 'vitest';
import { savitzkyGolay, savitzkyGolayWeights } from '../../../server/engine/spectrum/savitzkyGolay.ts';
import { fitPolynomial } from '../../reference/polynomialFit.ts';
import { seededRandom } from '../../seeded.ts';

describe('weights are those of Savitzky and Golay, Anal. Chem. 36(8), 1964, Table I, rows without misprints', () => {
  test.each([
    [5, 2, 0, 35, [-3, 12, 17, 12, -3]],
    [5, 3, 0, 35, [-3, 12, 17, 12, -3]],
    [7, 2, 0, 21, [-2, 3, 6, 7, 6, 3, -2]],
    [9, 2, 0, 231, [-21, 14, 39, 54, 59, 54, 39, 14, -21]],
    [11, 2, 0, 429, [-36, 9, 44, 69, 84, 89, 84, 69, 44, 9, -36]],
    [7, 4, 0, 231, [5, -30, 75, 131, 75, -30, 5]],
    [5, 2, 1, 10, [-2, -1, 0, 1, 2]],
    [7, 2, 1, 28, [-3, -2, -1, 0, 1, 2, 3]],
    [9, 2, 1, 60, [-4, -3, -2, -1, 0, 1, 2, 3, 4]],
    [5, 3, 1, 12, [1, -8, 0, 8, -1]],
    [7, 3, 1, 252, [22, -67, -58, 0, 58, 67, -22]],
    [5, 2, 2, 7, [2, -1, -2, -1, 2]],
    [7, 2, 2, 42, [5, 0, -3, -4, -3, 0, 5]],
  ] as const)(
    '%i points, degree %i, derivative %i, over %i',
    (points, degree, derivative, over, integers) => {
      const weights = savitzkyGolayWeights({ points, degree, derivative });
      // one written as (1, -8, 0, 8, -1) runs from the left sample to the right, as here
      integers.forEach((n, k) => {
        expect(weights[k]! * over).toBeCloseTo(n, 10);
      });
    },
  );
});

describe('figures of the smoothing weights [recomputed]', () => {
  test.each([
    [5, 0.4857142857, 0.237935374, -0.371428571],
    [7, 0.3333333333, 0.159954758, 0.238095238],
  ])('%i points: noise variance %f, -3 dB at %f fs, %f at fs/2', (points, variance, corner, atNyquist) => {
    const w = savitzkyGolayWeights({ points, degree: 2, derivative: 0 });
    const half = (points - 1) / 2;
    const response = (f: number) =>
      w.reduce((sum, wk, k) => sum + wk * Math.cos(2 * Math.PI * f * (k - half)), 0);
    expect(w.reduce((sum, wk) => sum + wk * wk, 0)).toBeCloseTo(variance, 9);
    expect(response(corner)).toBeCloseTo(Math.SQRT1_2, 7);
    expect(response(0.5)).toBeCloseTo(atNyquist, 8);
  });
});

describe('the filter', () => {
  const random = seededRandom(12);
  const x = Float64Array.from({ length: 60 }, () => random() * 10 - 5);

  test.each([
    [7, 2, 0],
    [9, 3, 1],
    [11, 4, 2],
  ])(
    '%i points, degree %i, derivative %i equals a least-squares fit at every sample, ends included',
    (points, degree, derivative) => {
      const out = savitzkyGolay(x, { points, degree, derivative }, 50);
      const half = (points - 1) / 2;
      out.forEach((value, i) => {
        const middle = Math.min(Math.max(i, half), x.length - 1 - half);
        const t = Array.from({ length: points }, (_, k) => (middle - half + k - i) / 50);
        const c = fitPolynomial(t, Array.from(x.subarray(middle - half, middle + half + 1)), degree);
        const factorial = derivative === 2 ? 2 : 1;
        expect(value / (c[derivative]! * factorial)).toBeCloseTo(1, 6);
      });
    },
  );

  test('leaves a cubic as it is and gives its exact slope', () => {
    const t = Float64Array.from({ length: 30 }, (_, i) => i / 100);
    const cubic = t.map((s) => 2 - 3 * s + 40 * s * s - 500 * s * s * s);
    const smooth = savitzkyGolay(cubic, { points: 7, degree: 3, derivative: 0 }, 100);
    const slope = savitzkyGolay(cubic, { points: 7, degree: 3, derivative: 1 }, 100);
    t.forEach((s, i) => {
      expect(smooth[i]).toBeCloseTo(cubic[i]!, 11);
      expect(slope[i]).toBeCloseTo(-3 + 80 * s - 1500 * s * s, 8);
    });
  });

  test('just fits a series as long as its window and refuses a shorter one', () => {
    const settings = { points: 7, degree: 2, derivative: 0 };
    expect(savitzkyGolay(x.subarray(0, 7), settings, 1).length).toBe(7);
    expect(() => savitzkyGolay(x.subarray(0, 6), settings, 1)).toThrow(/does not fit/);
  });

  test.each([
    [{ points: 6 }, /odd/],
    [{ degree: 5 }, /degree/],
    [{ derivative: 3 }, /derivative/],
  ])('%o is refused', (changes, message) => {
    expect(() => savitzkyGolayWeights({ points: 5, degree: 2, derivative: 0, ...changes })).toThrow(message);
  });
});
