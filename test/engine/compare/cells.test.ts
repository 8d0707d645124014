import { describe, expect, test } from 'vitest';
import { type Cell, SCORE_COLUMNS, sumCells, worstOf } from '../../../server/engine/compare/cells.ts';
import { wilsonInterval } from '../../../server/engine/statistics/wilson.ts';

const count = (k: number, n: number): Cell => ({ kind: 'count', k, n, interval: wilsonInterval(k, n) });
const ms = (value: number): Cell => ({ kind: 'ms', ms: value });

describe('worstOf', () => {
  test.each<[string, (Cell | null)[], number | null]>([
    ['the largest share, not the largest number', [count(5, 100), count(1, 2), count(0, 9)], 1],
    // Wilson, 95 %: 1 of 1 is 0.21 to 1, 6 of 9 is 0.35 to 0.88.
    ['what is surely bad, not what few presses make look bad', [count(1, 1), count(6, 9), count(0, 9)], 1],
    ['none where two are as bad', [count(5, 10), count(5, 10), count(0, 1)], null],
    ['none where all are alike', [count(0, 4), count(0, 9)], null],
    ['none where there is but one', [ms(40), null], null],
    ['times that are shown alike are alike', [ms(14.6), ms(15.4), ms(15)], null],
    ['what cannot be scored is not the worst', [null, ms(10), ms(30)], 2],
  ])('%s', (_name, cells, expected) => expect(worstOf(cells)).toEqual(expected));
});

describe('sumCells', () => {
  test('counts add up, and the interval is that of the sum', () => {
    expect(sumCells([count(1, 4), null, count(2, 16)])).toEqual(count(3, 20));
  });
  test('a share is that of all the time', () => {
    const half = { kind: 'share', share: 0.5, ofS: 10 } as const;
    expect(sumCells([half, { kind: 'share', share: 0.1, ofS: 30 }])).toEqual({
      kind: 'share',
      share: 0.2,
      ofS: 40,
    });
  });
  test('of medians the longest stands for all', () =>
    expect(sumCells([ms(30), ms(80), ms(50)])).toEqual(ms(80)));
  test('nothing to score is nothing', () => expect(sumCells([null, null])).toBe(null));
  test('cells of two kinds are no column', () =>
    expect(() => sumCells([ms(1), count(1, 2)])).toThrow(TypeError));
});

test('every score has a name and a sentence of its own', () => {
  expect(new Set(SCORE_COLUMNS.map(({ id }) => id)).size).toBe(SCORE_COLUMNS.length);
  expect(new Set(SCORE_COLUMNS.map(({ says }) => says)).size).toBe(SCORE_COLUMNS.length);
});
