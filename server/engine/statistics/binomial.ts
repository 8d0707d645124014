import { checkCounts } from './wilson.ts';

/**
 * Probability of k successes or more in n trials of probability p each: a sum of terms that starts at the largest one,
 * so that nothing underflows.
 * @throws RangeError  unless k and n are whole, 0 <= k <= n, and 0 <= p <= 1.
 */
export function atLeast(k: number, n: number, p: number): number {
  checkCounts(k, n);
  if (!(p >= 0 && p <= 1)) throw new RangeError(`p must be in [0, 1], got ${p}`);
  if (k === 0 || p === 1) return 1;
  if (p === 0) return 0;
  const mode = Math.min(n, Math.max(k, Math.floor((n + 1) * p)));
  const odds = p / (1 - p);
  const largest = Math.exp(logChoose(n, mode) + mode * Math.log(p) + (n - mode) * Math.log1p(-p));
  let sum = 1;
  for (let i = mode, term = 1; i < n && term > sum * 1e-18; ++i) {
    term *= ((n - i) / (i + 1)) * odds;
    sum += term;
  }
  for (let i = mode, term = 1; i > k && term > sum * 1e-18; --i) {
    term *= i / ((n - i + 1) * odds);
    sum += term;
  }
  return Math.min(1, largest * sum);
}

function logChoose(n: number, k: number): number {
  let sum = 0;
  for (let i = 1; i <= Math.min(k, n - k); ++i) sum += Math.log((n - i + 1) / i);
  return sum;
}
