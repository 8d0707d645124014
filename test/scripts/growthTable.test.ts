import { describe, expect, test } from 'vitest';
import { slopeOf, tableLines } from '../../scripts/bench/growth/table.ts';

describe('the table of growth', () => {
  test.each([0, 0.5, 1, 2])('the slope of x^%s is its exponent, whatever the factor', (power) => {
    const sizes = [10, 100, 1000, 3000];
    expect(
      slopeOf(
        sizes,
        sizes.map((size) => 7 * size ** power),
      ),
    ).toBeCloseTo(power, 12);
  });

  test('what could not be measured is left out of the slope, and is a dash', () => {
    expect(slopeOf([1, 10, 100], [2, null, 200])).toBeCloseTo(1, 12);
    expect(slopeOf([1, 10], [2, null])).toBeNull();
    const rows = [
      { name: 'time', unit: 's' as const, values: [1500, null] },
      { name: 'memory', unit: 'MB' as const, values: [120.6, Number.NaN] },
      { name: 'step', unit: 'ms' as const, values: [4.25, 42.5] },
    ];
    expect(tableLines(['a', 'b'], [1, 10], rows, ['1.0', '2.0'])).toEqual([
      '|  | a | b | slope |',
      '| --- | --- | --- | --- |',
      '| time | 1.50 s | – | – |',
      '| memory | 121 MB | – | – |',
      '| step | 4.25 ms | 42.5 ms | 1.00 |',
      '| load | 1.0 | 2.0 |  |',
    ]);
  });
});
