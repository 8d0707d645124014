import { describe, expect, test } from 'vitest';
import { planeRadius95, studentT95 } from '../../../server/engine/statistics/studentT.ts';

// Tables of Student's t and of F(2, n), as in any handbook of statistics; digits from memory.
describe('half widths of 95 % intervals, as tables of Student’s t give them', () => {
  test.each([
    [1, 12.706],
    [2, 4.303],
    [3, 3.182],
    [4, 2.776],
    [5, 2.571],
    [8, 2.306],
    [10, 2.228],
    [20, 2.086],
    [30, 2.042],
    [120, 1.98],
    [1e9, 1.959964],
  ])('%d degrees of freedom: %f', (freedom, t) => {
    expect(studentT95(freedom) / t).toBeCloseTo(1, 2);
  });

  test('are narrower with every degree', () => {
    for (let n = 1; n < 40; n += 0.25) expect(studentT95(n)).toBeGreaterThan(studentT95(n + 0.25));
  });
});

describe('radius of the circle that holds 95 %: √(2 F(0.95; 2, n))', () => {
  test.each([
    [1, 199.5],
    [2, 19.0],
    [5, 5.786],
    [10, 4.103],
    [30, 3.316],
    [1e9, 2.9957],
  ])('%d degrees of freedom, F = %f', (freedom, f) => {
    expect(planeRadius95(freedom)).toBeCloseTo(Math.sqrt(2 * f), 3);
  });
});

test.each([0.9, 0, -1, Number.NaN])('%f degrees of freedom are refused', (freedom) => {
  expect(() => studentT95(freedom)).toThrow(/freedom/);
  expect(() => planeRadius95(freedom)).toThrow(/freedom/);
});
