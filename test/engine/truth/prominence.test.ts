import { describe, expect, test } from 'vitest';
import { findPeaks } from '../../../server/engine/truth/prominence.ts';
import { referencePeaks } from '../../reference/prominence.ts';
import { fc } from '../properties.ts';

const series = (...x: number[]) => Float64Array.from(x);

describe('findPeaks', () => {
  // Definition as in the documentation of scipy.signal.peak_prominences; values computed with scipy 1.17.1.
  test('the prominences and bases of {0, 2, 1, 3, 0, 1, 0}', () => {
    expect(findPeaks(series(0, 2, 1, 3, 0, 1, 0))).toEqual([
      { index: 1, prominence: 1, leftBase: 0, rightBase: 2 },
      { index: 3, prominence: 3, leftBase: 0, rightBase: 4 },
      { index: 5, prominence: 1, leftBase: 4, rightBase: 6 },
    ]);
  });

  test.each([
    [
      [0, 1, 0, 2, 0, 3, 0, 2, 0, 1, 0],
      [1, 3, 5, 7, 9],
      [1, 2, 3, 2, 1],
    ],
    [
      [1, 5, 3, 4, 2, 6, 0, 2, 1],
      [1, 3, 5, 7],
      [3, 1, 5, 1],
    ],
  ])('the prominences of %j', (x, indices, prominences) => {
    const peaks = findPeaks(series(...x));
    expect(peaks.map((peak) => peak.index)).toEqual(indices);
    expect(peaks.map((peak) => peak.prominence)).toEqual(prominences);
  });

  test('a flat top is one peak, at its middle, of two middles the left', () => {
    expect(findPeaks(series(0, 1, 1, 1, 0, 2, 2, 0)).map((peak) => peak.index)).toEqual([2, 5]);
  });

  test.each<[string, number[], number[]]>([
    ['nothing', [], []],
    ['one sample', [5], []],
    ['a constant', [3, 3, 3, 3], []],
    ['a slope', [1, 2, 3, 4], []],
    ['a peak at either end is none', [5, 1, 5], []],
    ['a flat stretch that ends the series is no peak', [0, 2, 2], []],
    ['a shoulder is no peak', [0, 1, 1, 2, 0], [3]],
    ['beside NaN there is no peak', [0, Number.NaN, 3, 0, 2, 0], [4]],
  ])('%s', (_name, x, indices) => {
    expect(findPeaks(series(...x)).map((peak) => peak.index)).toEqual(indices);
  });

  test('limits keep what reaches them', () => {
    const x = series(0, 2, 1, 3, 0, 1, 0);
    expect(findPeaks(x, { minProminence: 1 })).toHaveLength(3);
    expect(findPeaks(x, { minProminence: 1.01 }).map((peak) => peak.index)).toEqual([3]);
    expect(findPeaks(x, { minHeight: 2 }).map((peak) => peak.index)).toEqual([1, 3]);
    expect(findPeaks(x, { minHeight: 2.01 }).map((peak) => peak.index)).toEqual([3]);
  });

  test('it equals the reference that walks out from every peak, NaN and ties included', () => {
    const values = fc.array(
      fc.oneof(
        { weight: 12, arbitrary: fc.integer({ min: 0, max: 6 }) },
        { weight: 1, arbitrary: fc.constant(Number.NaN) },
      ),
      { maxLength: 40 },
    );
    fc.assert(
      fc.property(values, (x) => {
        expect(findPeaks(series(...x))).toEqual(referencePeaks(x));
      }),
      { numRuns: 1000 },
    );
  });
});
