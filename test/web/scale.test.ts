import { describe, expect, test } from 'vitest';
import { roundValues } from '../../server/engine/statistics/roundValues.ts';
import { linePath, rangeOf, scaleOf, stepPath, ticksOf } from '../../web/charts/scale.ts';

const LINEAR = scaleOf('linear', [-10, 30], 100, 300);
const LOG = scaleOf('log', [0.01, 100], 200, 0);

test.each([
  [LINEAR, -10, 100],
  [LINEAR, 30, 300],
  [LINEAR, 0, 150],
  [LOG, 0.01, 200],
  [LOG, 1, 100],
  [LOG, 100, 0],
])('a value stands where its axis has it (%#)', (scale, value, px) => {
  expect(scale(value)).toBeCloseTo(px, 9);
  expect(scale.invert(px)).toBeCloseTo(value, 9);
});

test('a logarithmic axis has no place for 0 or less', () => {
  expect(Number.isFinite(LOG(0))).toBe(false);
  expect(LOG(-1)).toBeNaN();
});

describe('ticks', () => {
  test.each([
    ['round steps', { kind: 'linear', low: 0, high: 830 }, 6, ['0', '200', '400', '600', '800']],
    [
      'decimals as the step needs',
      { kind: 'linear', low: 0.28, high: 0.36 },
      4,
      ['0.28', '0.30', '0.32', '0.34', '0.36'],
    ],
    ['a true minus, and no minus before 0', { kind: 'linear', low: -40, high: 5 }, 3, ['−40', '−20', '0']],
    ['one, two and five where there is room', { kind: 'log', low: 1, high: 10 }, 8, ['1', '2', '5', '10']],
    ['powers alone where there is little', { kind: 'log', low: 0.01, high: 1 }, 4, ['0.01', '0.1', '1']],
    [
      'every second power where there is less',
      { kind: 'log', low: 1e-4, high: 1e4 },
      5,
      ['10⁻⁴', '0.01', '1', '100', '10000'],
    ],
  ] as const)('%s', (_name, scale, most, texts) => {
    expect(ticksOf(scale, most).map(({ text }) => text)).toEqual(texts);
  });
});

test.each([
  [0, 100, 5, [0, 20, 40, 60, 80, 100]],
  [15, 805, 4, [200, 400, 600, 800]],
  [-0.05, 1.05, 5, [0, 0.5, 1]],
  [0, 0.3, 3, [0, 0.1, 0.2, 0.3]],
  [3, 3, 4, []],
])('round values from %d to %d, about %d of them', (low, high, most, values) => {
  expect(roundValues(low, high, most)).toEqual(values);
});

test('steps keep each value until the next point', () => {
  const scales = { x: (value: number) => 10 * value, y: (value: number) => -value };
  expect(
    stepPath(scales, [
      [0, 1],
      [2, 3],
      [4, 5],
    ]),
  ).toBe('M0.0 -1.0H20.0V-3.0H40.0V-5.0');
  expect(stepPath(scales, [])).toBe('');
});

test('a point that has no place breaks the line', () => {
  const x = scaleOf('linear', [0, 3], 0, 3);
  expect(
    linePath({ x, y: LOG }, [
      [0, 1],
      [1, 0],
      [2, 100],
      [3, 0.01],
    ]),
  ).toBe('M0.0 100.0M2.0 0.0L3.0 200.0');
});

describe('the range of an axis', () => {
  test('is whole powers of ten, passing over what is no number or not above 0', () => {
    expect(rangeOf([0, Number.NaN, 0.03, 4], 'log')).toEqual([0.01, 10]);
  });
  test('leaves room around a single value', () => {
    const [low, high] = rangeOf([5], 'linear');
    expect(low).toBeLessThan(5);
    expect(high).toBeGreaterThan(5);
  });
  test('of nothing is still one', () => {
    expect(rangeOf([], 'linear')).toEqual([0, 1]);
    expect(rangeOf([Number.NaN], 'log')).toEqual([0.1, 1]);
  });
});
