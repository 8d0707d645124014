import { expect, test } from 'vitest';
import { placeDigits } from '../../../web/panels/tune/countDigits.ts';

test('each number stands in the middle of its place, a digit beside the other, in one text', () => {
  const { text, x } = placeDigits(
    [
      { value: 7, middle: 14, width: 26 },
      { value: 207, middle: 42, width: 26 },
      { value: 35, middle: 70, width: 26 },
    ],
    7,
  );
  expect(text).toBe('720735');
  expect(x.trim().split(' ').map(Number)).toEqual([14, 35, 42, 49, 66.5, 73.5]);
});

test('a number that is wider than its place is left out', () => {
  expect(placeDigits([{ value: 1234, middle: 14, width: 26 }], 7).text).toBe('');
  expect(placeDigits([{ value: 1234, middle: 14, width: 28 }], 7).text).toBe('1234');
  expect(placeDigits([], 7)).toEqual({ text: '', x: '' });
});
