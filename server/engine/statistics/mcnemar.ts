import { atLeast } from './binomial.ts';

/**
 * The two-sided p of McNemar's exact test on pairs that differ, from the binomial distribution: does one candidate do
 * better on the same presses than chance would make it look?
 * @param b  presses that only the first candidate got right. @param c  those that only the second did.
 * @returns null where no press tells the candidates apart.
 * @throws RangeError  unless both are whole numbers from 0.
 * Source: Q. McNemar, Psychometrika 12 (1947), 153-157.
 */
export function mcnemar(b: number, c: number): number | null {
  for (const [name, count] of [
    ['b', b],
    ['c', c],
  ] as const) {
    if (!(Number.isInteger(count) && count >= 0))
      throw new RangeError(`${name} must be a whole number from 0, got ${count}`);
  }
  const n = b + c;
  return n === 0 ? null : Math.min(1, 2 * atLeast(Math.max(b, c), n, 0.5));
}
