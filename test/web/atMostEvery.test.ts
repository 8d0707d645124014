import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { atMostEvery } from '../../web/atMostEvery.ts';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

function told() {
  const values: number[] = [];
  return { values, tell: atMostEvery<number>(200, (value) => values.push(value)) };
}

test('the first value is told at once, and of those that follow soon the last one when it is time', () => {
  const { values, tell } = told();
  tell(1);
  vi.advanceTimersByTime(50);
  tell(2);
  tell(3);
  expect(values).toEqual([1]);
  vi.advanceTimersByTime(149);
  expect(values).toEqual([1]);
  vi.advanceTimersByTime(1);
  expect(values).toEqual([1, 3]);
});

test('a value after a pause is told at once', () => {
  const { values, tell } = told();
  tell(1);
  vi.advanceTimersByTime(200);
  tell(2);
  expect(values).toEqual([1, 2]);
});

test('the last one does not wait, and nothing older comes after it', () => {
  const { values, tell } = told();
  tell(1);
  tell(2);
  tell(3, true);
  vi.advanceTimersByTime(1000);
  expect(values).toEqual([1, 3]);
});
