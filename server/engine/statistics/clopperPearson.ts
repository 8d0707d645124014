import { atLeast } from './binomial.ts';
import { checkCounts, type Interval } from './wilson.ts';

/**
 * The exact interval for a proportion, k of n seen; null where n = 0. Its ends are the probabilities at which k or
 * more, and k or fewer, each have half of the remaining probability. It never covers less than it claims, and often
 * more: Wilson's interval is the one to show, this one is for claims that must hold ("less than 1 %").
 * @param confidence  two-sided, in (0, 1).
 * @throws RangeError  unless k and n are whole and 0 <= k <= n.
 * Source: C. J. Clopper & E. S. Pearson, Biometrika 26 (1934), 404-413; method 5 of R. G. Newcombe (1998).
 */
export function clopperPearsonInterval(k: number, n: number, confidence = 0.95): Interval | null {
  checkCounts(k, n);
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence must be in (0, 1), got ${confidence}`);
  if (n === 0) return null;
  const tail = (1 - confidence) / 2;
  return { low: k === 0 ? 0 : lowEnd(k, n, tail), high: k === n ? 1 : 1 - lowEnd(n - k, n, tail) };
}

/** The p at which `atLeast(k, n, p)`, which rises with p, reaches `tail`; by halving down to neighbouring numbers. */
function lowEnd(k: number, n: number, tail: number): number {
  let low = 0;
  let high = 1;
  for (;;) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) return middle;
    if (atLeast(k, n, middle) < tail) low = middle;
    else high = middle;
  }
}
