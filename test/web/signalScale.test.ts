import { describe, expect, test } from 'vitest';
import { linePath, place, rangeOf, type Scale, ticksOf } from '../../web/panels/signal/scale.ts';

const LINEAR: Scale = { kind: 'linear', min: -10, max: 30, from: 100, to: 300 };
const LOG: Scale = { kind: 'log', min: 0.01, max: 100, from: 200, to: 0 };

test.each([
  [LINEAR, -10, 100],
  [LINEAR, 30, 300],
  [LINEAR, 0, 150],
  [LOG, 0.01, 200],
  [LOG, 1, 100],
  [LOG, 100, 0],
])('a value stands where its axis has it (%#)', (scale, value, px) => {
  expect(place(scale, value)).toBeCloseTo(px, 9);
});

test('a logarithmic axis has no place for 0 or less', () => {
  expect(Number.isFinite(place(LOG, 0))).toBe(false);
  expect(place(LOG, -1)).toBeNaN();
});

describe('ticks', () => {
  test.each([
    ['round steps', { ...LINEAR, min: 0, max: 830 }, 6, ['0', '200', '400', '600', '800']],
    [
      'decimals as the step needs',
      { ...LINEAR, min: 0.28, max: 0.36 },
      4,
      ['0.28', '0.30', '0.32', '0.34', '0.36'],
    ],
    ['a true minus, and no minus before 0', { ...LINEAR, min: -40, max: 5 }, 3, ['−40', '−20', '0']],
    ['one, two and five where there is room', { ...LOG, min: 1, max: 10 }, 8, ['1', '2', '5', '10']],
    ['powers alone where there is little', { ...LOG, min: 0.01, max: 1 }, 4, ['0.01', '0.1', '1']],
    [
      'every second power where there is less',
      { ...LOG, min: 1e-4, max: 1e4 },
      5,
      ['10⁻⁴', '0.01', '1', '100', '10000'],
    ],
  ] as const)('%s', (_name, scale, most, texts) => {
    expect(ticksOf(scale, most).map(({ text }) => text)).toEqual(texts);
  });
});

test('a point that has no place breaks the line', () => {
  const x: Scale = { kind: 'linear', min: 0, max: 3, from: 0, to: 3 };
  expect(
    linePath(x, LOG, [
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
