import { expect, test, vi } from 'vitest';
import { LAPSE_MS, lapsing } from '../../web/takes/lapsing.ts';

test('a value that lapses is kept while it is asked for, and made again after that', () => {
  vi.useFakeTimers();
  const make = vi.fn(() => ({}));
  const given = {};
  const value = lapsing<object>(make, given);
  for (let k = 0; k < 5; ++k) {
    vi.advanceTimersByTime(LAPSE_MS);
    expect(value()).toBe(given);
  }
  vi.advanceTimersByTime(2 * LAPSE_MS);
  const made = value();
  expect(made).not.toBe(given);
  expect(value()).toBe(made);
  expect(make).toHaveBeenCalledTimes(1);
  vi.advanceTimersByTime(3 * LAPSE_MS);
  expect(vi.getTimerCount()).toBe(0);
  vi.useRealTimers();
});
