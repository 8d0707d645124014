import { describe, expect, test } from 'vitest';
import { mergeSorted, shareBelow, stepsOf } from '../../../server/engine/compare/distribution.ts';
import { fc } from '../properties.ts';

const values = fc.array(fc.integer({ min: 0, max: 40 }), { maxLength: 60 });
const rising = (list: readonly number[]) => Float64Array.from(list).sort();

describe('shareBelow', () => {
  test('equals counting, one value after another', () => {
    fc.assert(
      fc.property(values, fc.integer({ min: -1, max: 42 }), (list, x) => {
        const counted = list.length === 0 ? null : list.filter((value) => value < x).length / list.length;
        expect(shareBelow(rising(list), x)).toBe(counted);
      }),
    );
  });
});

describe('stepsOf', () => {
  test('at every step stands the part of the values at or below it; the last is 1', () => {
    fc.assert(
      fc.property(values, (list) => {
        const { x, share } = stepsOf(rising(list));
        expect([...x]).toEqual([...new Set(rising(list))]);
        x.forEach((at, i) => {
          expect(share[i]).toBe(list.filter((value) => value <= at).length / list.length);
        });
      }),
    );
  });

  test('thinned, it keeps both ends and lies nowhere further off than the part left out between two steps', () => {
    const list = rising(Array.from({ length: 1000 }, (_, i) => i * i));
    const { x, share } = stepsOf(list, 50);
    expect(x).toHaveLength(50);
    expect([x[0], x.at(-1), share.at(-1)]).toEqual([0, 999 * 999, 1]);
    for (let i = 1; i < x.length; ++i) expect(share[i]! - share[i - 1]!).toBeLessThan(0.022);
  });

  test('fewer than two places are refused', () => expect(() => stepsOf(rising([1]), 1)).toThrow(RangeError));
});

test('merging is sorting all together', () => {
  fc.assert(
    fc.property(fc.array(values, { maxLength: 5 }), (lists) => {
      expect([...mergeSorted(lists.map(rising))]).toEqual(lists.flat().sort((a, b) => a - b));
    }),
  );
});
