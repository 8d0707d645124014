import { expect, test } from 'vitest';
import { fixed } from '../../web/panels/fixed.ts';

test.each([
  [-0.014, 2, '−0.01'],
  [-0.001, 2, '0.00'],
  [1.5, 1, '1.5'],
])('what stands at the pointer: %d to %d decimals is %s', (value, decimals, shown) => {
  expect(fixed(value, decimals)).toBe(shown);
});
