import { atLeast } from './binomial.ts';

/** Two candidates on the same presses: does one do better than chance would make it look? */
export interface McNemar {
  /** (b - c)² / (b + c), and its p from the χ² distribution with one degree of freedom. */
  readonly chiSquare: number;
  readonly p: number;
  /** The same with (|b - c| - 1)². */
  readonly chiSquareCorrected: number;
  readonly pCorrected: number;
  /** Two-sided, from the binomial distribution: the one to read. */
  readonly pExact: number;
}

/**
 * McNemar's test on pairs that differ.
 * @param b  presses that only the first candidate got right. @param c  those that only the second did.
 * @returns null where no press tells the candidates apart.
 * @throws RangeError  unless both are whole numbers from 0.
 * Source: Q. McNemar, Psychometrika 12 (1947), 153-157.
 */
export function mcnemar(b: number, c: number): McNemar | null {
  for (const [name, count] of [
    ['b', b],
    ['c', c],
  ] as const) {
    if (!(Number.isInteger(count) && count >= 0))
      throw new RangeError(`${name} must be a whole number from 0, got ${count}`);
  }
  const n = b + c;
  if (n === 0) return null;
  const chiSquare = (b - c) ** 2 / n;
  const chiSquareCorrected = Math.max(0, Math.abs(b - c) - 1) ** 2 / n;
  return {
    chiSquare,
    p: chiSquareTail(chiSquare),
    chiSquareCorrected,
    pCorrected: chiSquareTail(chiSquareCorrected),
    pExact: Math.min(1, 2 * atLeast(Math.max(b, c), n, 0.5)),
  };
}

/** Probability that χ² with one degree of freedom exceeds x: erfc(√(x / 2)). */
function chiSquareTail(x: number): number {
  const z = Math.sqrt(x / 2);
  return z < 2 ? 1 - erfSeries(z) : erfcFraction(z);
}

/** erf(z) by its Maclaurin series. Source: NIST Digital Library of Mathematical Functions, 7.6.2 (from memory). */
function erfSeries(z: number): number {
  let term = (2 / Math.sqrt(Math.PI)) * z * Math.exp(-z * z);
  let sum = term;
  for (let k = 1; term > sum * 1e-17; ++k) {
    term *= (2 * z * z) / (2 * k + 1);
    sum += term;
  }
  return sum;
}

/** erfc(z) by its continued fraction, from the inside out. Source: the same, 7.9.1 (from memory). */
function erfcFraction(z: number): number {
  let fraction = z;
  for (let k = 120; k >= 1; --k) fraction = z + k / 2 / fraction;
  return Math.exp(-z * z) / (Math.sqrt(Math.PI) * fraction);
}
