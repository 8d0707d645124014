import { describe, expect, test } from 'vitest';
import { LEAST_DIFFERING, pairOutcomes } from '../../../server/engine/compare/paired.ts';
import type { PressOutcome } from '../../../server/engine/compare/takeScores.ts';

/** One letter a press: '+' right, '-' wrong, '.' not judged. */
function outcomes(marks: string): PressOutcome[] {
  return [...marks].flatMap((mark, i) =>
    mark === '.'
      ? []
      : [{ downUs: i, intent: 'stray' as const, by: 'person' as const, isRight: mark === '+' }],
  );
}
const pair = (a: string, b: string) => pairOutcomes([{ a: outcomes(a), b: outcomes(b) }]);
const repeated = (onlyA: number, onlyB: number) =>
  pair('+'.repeat(onlyA) + '-'.repeat(onlyB), '-'.repeat(onlyA) + '+'.repeat(onlyB));

describe('pairOutcomes', () => {
  test('counts presses by who was right, and leaves out those that one could not judge', () => {
    expect(pair('++--.+', '+-+-+.')).toMatchObject({
      bothRight: 1,
      onlyA: 1,
      onlyB: 1,
      bothWrong: 1,
      unpaired: 2,
    });
  });

  test('presses of two takes at the same moment are two', () => {
    const take = { a: outcomes('+'), b: outcomes('-') };
    expect(pairOutcomes([take, take]).onlyA).toBe(2);
  });

  // Exact two-sided p of McNemar's test (Psychometrika 12, 1947), [recomputed] with the binomial distribution.
  test.each([
    [5, 15, 0.0413894653],
    [1, 9, 0.021484375],
    [0, 6, 0.03125],
  ])('%i against %i has p = %f', (b, c, p) => {
    expect(repeated(b, c).p!).toBeCloseTo(p, 9);
    expect(repeated(b, c)).toMatchObject({ missing: 0, neededAtThisSplit: null });
  });

  test('six that differ are the fewest that can be found at 5 %', () => {
    expect(LEAST_DIFFERING).toBe(6);
    expect(repeated(0, 5).p!).toBe(0.0625);
    expect(repeated(0, 5).missing).toBe(1);
  });

  test('without a difference there is no test, and six are missing', () => {
    expect(pair('+-', '+-')).toMatchObject({ p: null, missing: 6, neededAtThisSplit: null });
  });

  test('an even split will never be found', () => expect(repeated(4, 4).neededAtThisSplit).toBe(null));

  test('the number needed is the first at which the same split is found', () => {
    const { neededAtThisSplit } = repeated(2, 6);
    expect(neededAtThisSplit).toBe(17);
    expect(repeated(4, 13).p!).toBeLessThan(0.05);
    expect(repeated(4, 12).p!).toBeGreaterThan(0.05);
  });
});
