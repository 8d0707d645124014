/** Two ends of an interval of shares, 0 to 1. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

export const Z_95_TWO_SIDED = 1.959963984540054;

/**
 * Wilson's score interval for a proportion, k of n seen; null where n = 0. At k = 0 the low end is exactly 0, at k = n
 * the high end exactly 1. A 95 % interval covers about 95 times in 100: 95.1 to 95.7 averaged over all proportions,
 * less where the true one is within some 0.2 / n of 0 or 1 (at worst 79 for n = 1, 84 for n = 100).
 * @param z  quantile of the standard normal distribution; the default gives two-sided 95 %.
 * @throws RangeError  unless k and n are whole, 0 <= k <= n, and z > 0.
 * Source: E. B. Wilson, J. Am. Stat. Assoc. 22 (1927), 209-212; method 3 of R. G. Newcombe, Stat. Med. 17 (1998).
 */
export function wilsonInterval(k: number, n: number, z: number = Z_95_TWO_SIDED): Interval | null {
  checkCounts(k, n);
  if (!(z > 0)) throw new RangeError(`z must be above 0, got ${z}`);
  if (n === 0) return null;
  const share = k / n;
  const zz = z * z;
  const centre = (share + zz / (2 * n)) / (1 + zz / n);
  const half = (z * Math.sqrt((share * (1 - share)) / n + zz / (4 * n * n))) / (1 + zz / n);
  return { low: k === 0 ? 0 : centre - half, high: k === n ? 1 : centre + half };
}

/** @throws RangeError  unless k and n are whole and 0 <= k <= n. */
export function checkCounts(k: number, n: number): void {
  if (!(Number.isInteger(n) && n >= 0)) throw new RangeError(`n must be a whole number from 0, got ${n}`);
  if (!(Number.isInteger(k) && k >= 0 && k <= n))
    throw new RangeError(`k must be a whole number from 0 to ${n}, got ${k}`);
}
