import { describe, expect, test } from 'vitest';
import { rocOf } from '../../../server/engine/statistics/roc.ts';
import { fc } from '../properties.ts';

const repeated = (counts: readonly number[]) =>
  counts.flatMap((n, rating) => new Array<number>(n).fill(rating + 1));

describe('rocOf', () => {
  // Hanley & McNeil, Radiology 143 (1982), Table I: 109 images rated 1 to 5. The published area of 0.893 was read in a
  // text that quotes the paper; the rest [recomputed].
  const normal = repeated([33, 6, 6, 11, 2]);
  const abnormal = repeated([3, 2, 2, 11, 33]);
  const roc = rocOf(abnormal, normal)!;

  test('the area and its standard error for the published ratings', () => {
    expect(roc.area).toBeCloseTo(0.893, 3);
    expect(roc.area).toBeCloseTo(0.8931710615, 10);
    expect(roc.standardError).toBeCloseTo(0.0324865796, 10);
  });

  test('its points', () => {
    const expected = [
      [5, 0.0344828, 0.6470588],
      [4, 0.2241379, 0.8627451],
      [3, 0.3275862, 0.9019608],
      [2, 0.4310345, 0.9411765],
      [1, 1, 1],
    ] as const;
    expect(roc.points).toHaveLength(5);
    roc.points.forEach((point, i) => {
      expect(point.threshold).toBe(expected[i]![0]);
      expect(point.falseShare).toBeCloseTo(expected[i]![1], 7);
      expect(point.trueShare).toBeCloseTo(expected[i]![2], 7);
    });
  });

  test("Youden's J is largest at a rating of 4 and more", () => {
    expect(roc.best.threshold).toBe(4);
    expect(roc.best.youden).toBeCloseTo(0.638607167, 9);
  });

  test('{3..7} against {1..5}: 20.5 of 25 pairs (Bamber, J. Math. Psych. 12 (1975), [recomputed])', () => {
    expect(rocOf([3, 4, 5, 6, 7], [1, 2, 3, 4, 5])!.area).toBeCloseTo(0.82, 12);
  });

  test('the area is the share of pairs in the right order, ties half', () => {
    const values = fc.array(fc.integer({ min: 0, max: 6 }), { minLength: 1, maxLength: 15 });
    fc.assert(
      fc.property(values, values, (positives, negatives) => {
        let pairs = 0;
        for (const p of positives) for (const n of negatives) pairs += p > n ? 1 : p === n ? 0.5 : 0;
        expect(rocOf(positives, negatives)!.area).toBeCloseTo(
          pairs / (positives.length * negatives.length),
          12,
        );
      }),
    );
  });

  test('kinds that never mix: area 1 without error', () => {
    expect(rocOf([5, 6], [1, 2])).toMatchObject({
      area: 1,
      standardError: 0,
      best: { threshold: 5, youden: 1 },
    });
  });

  test('without one of the kinds there is nothing to tell; NaN is refused', () => {
    expect(rocOf([], [1])).toBe(null);
    expect(rocOf([1], [])).toBe(null);
    expect(() => rocOf([Number.NaN], [1])).toThrow(RangeError);
  });
});
