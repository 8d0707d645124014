import { expect, test } from 'vitest';
import { poissonInterval } from '../../../server/engine/statistics/poisson.ts';

// F. Garwood, Biometrika 28 (1936), table of exact 95 % limits (cited from memory; three decimals)
test.each([
  [0, 0, 3.689],
  [1, 0.025, 5.572],
  [2, 0.242, 7.225],
  [5, 1.623, 11.668],
  [10, 4.795, 18.39],
  [50, 37.111, 65.919],
])('of %d seen, the mean lies between %d and %d', (k, low, high) => {
  const found = poissonInterval(k);
  expect(Math.abs(found.low - low)).toBeLessThan(0.001);
  expect(Math.abs(found.high - high)).toBeLessThan(0.001);
});

test('at either end the tail that holds k has probability 0.025, by summing products', () => {
  for (const k of [1, 3, 17, 40]) {
    const { low, high } = poissonInterval(k);
    const term = (i: number, mean: number) => {
      let value = Math.exp(-mean);
      for (let j = 1; j <= i; ++j) value *= mean / j;
      return value;
    };
    let [below, upTo] = [0, 0];
    for (let i = 0; i < k; ++i) below += term(i, low);
    for (let i = 0; i <= k; ++i) upTo += term(i, high);
    expect(1 - below).toBeCloseTo(0.025, 9);
    expect(upTo).toBeCloseTo(0.025, 9);
  }
});

test.each([-1, 1.5, Number.NaN])('%s is no count', (k) => {
  expect(() => poissonInterval(k)).toThrow('whole number');
});
