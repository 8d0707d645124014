import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { LAPSE_MS, lapsing } from '../../web/takes/lapsing.ts';

/** What of the values that were let go is still there. */
let left: 'held by others' | 'collected';

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal(
    'WeakRef',
    class {
      private readonly value: object;
      constructor(value: object) {
        this.value = value;
      }
      deref(): object | undefined {
        return left === 'collected' ? undefined : this.value;
      }
    },
  );
});
afterEach(() => {
  vi.unstubAllGlobals();
  vi.useRealTimers();
});

test('a value that lapses is kept while it is asked for, and made again after that', () => {
  left = 'collected';
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
});

test('one that somebody else still has is not made again', () => {
  left = 'held by others';
  const make = vi.fn(() => ({}));
  const given = {};
  const value = lapsing<object>(make, given);
  vi.advanceTimersByTime(3 * LAPSE_MS);
  expect(value()).toBe(given);
  expect(make).not.toHaveBeenCalled();
});
