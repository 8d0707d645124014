import { expect, test } from 'vitest';
import {
  counted,
  figure,
  fixed,
  lasting,
  listed,
  moments,
  percent,
  percentRange,
  plural,
  signed,
  withHalf,
} from '../../../server/engine/words/count.ts';

test('one is singular, none and many are plural', () => {
  expect([0, 1, 2].map((n) => counted(n, 'gap'))).toEqual(['0 gaps', '1 gap', '2 gaps']);
  expect(counted(3, 'press', 'presses')).toBe('3 presses');
  expect([0, 1, 2].map((n) => plural(n, 'is', 'are'))).toEqual(['are', 'is', 'are']);
});

test('a list ends in and', () => {
  expect([[], ['x'], ['x', 'y'], ['x', 'y', 'z']].map(listed)).toEqual(['', 'x', 'x and y', 'x, y and z']);
});

test('a figure has its significant digits, a true minus and no exponent', () => {
  const shown = [0, -0, 1234.5, 12.345, -0.012345, 1e-9, Number.NaN].map((value) => figure(value));
  expect(shown).toEqual(['0', '0', '1235', '12.3', '−0.0123', '0.000000001', 'NaN']);
});

test('what rounds to zero has no sign', () => {
  expect([fixed(-0.04, 1), fixed(-0.06, 1)]).toEqual(['0.0', '−0.1']);
  expect([signed(-0.04, 1), signed(0.04, 1), signed(2), signed(-2)]).toEqual(['0.0', '0.0', '+2', '−2']);
});

test('an interval gives the value its decimals', () => {
  expect([withHalf(1.2367, 0.03), withHalf(-12.6, 2), withHalf(1.2367, 0)]).toEqual([
    '1.24 ± 0.03',
    '−13 ± 2',
    '1.24',
  ]);
});

test('a share above nothing never reads as 0 % unless decimals are asked for', () => {
  expect([0, 0.00005, 0.0123, 0.5, 1].map((share) => percent(share))).toEqual([
    '0 %',
    'under 0.01 %',
    '1.2 %',
    '50 %',
    '100 %',
  ]);
  expect([percent(0.1234, 0), percent(0.1234, 1)]).toEqual(['12 %', '12.3 %']);
  expect(percentRange({ low: 0.1234, high: 0.567 })).toBe('12–57 %');
  expect(percentRange({ low: 0.1234, high: 0.567 }, ' to ')).toBe('12 to 57 %');
});

test('times come in the unit that suits them, and long lists are cut', () => {
  expect([12_500, 2.5e6, 150e6, 7200e6].map(lasting)).toEqual(['12.5 ms', '2.5 s', '2.5 min', '2 h']);
  expect(moments([1e6, 2e6, 3e6, 2000e6], 3)).toBe('1.00 s, 2.00 s, 3.00 s and 1 more');
});
