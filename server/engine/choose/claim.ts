import { atLeast } from '../statistics/binomial.ts';
import { firstWhere } from '../statistics/sorted.ts';

/** What the page asks of a setting: less than 1 in 20, at 95 % confidence. */
export const CLAIMED_SHARE = 0.05;
const CONFIDENCE = 0.95;

/** How many more events of a kind, k of n of which went wrong, it takes to claim less than 1 in 20. */
export function moreForClaim(k: number, n: number): number {
  return Math.max(0, eventsForClaim(k) - n);
}

/**
 * How many events it takes, k of them failures, until the one-sided upper limit of the share of failures is at most
 * `share`: with k = 0 the exact form of the rule of three, 1 - (1 - confidence)^(1/n) <= share.
 * @throws RangeError  unless k is whole and 0 or more, and both shares lie between 0 and 1.
 * Source: the binomial tail; J. A. Hanley & A. Lippman-Hand, JAMA 249 (1983), 1743-1745, for k = 0 (from memory).
 */
export function eventsForClaim(k: number, share = CLAIMED_SHARE, confidence = CONFIDENCE): number {
  if (!(Number.isInteger(k) && k >= 0)) throw new RangeError(`k must be a whole number from 0, got ${k}`);
  if (!(share > 0 && share < 1)) throw new RangeError(`share must be between 0 and 1, got ${share}`);
  if (!(confidence > 0 && confidence < 1))
    throw new RangeError(`confidence must be between 0 and 1, got ${confidence}`);
  const isEnough = (n: number) => n > k && atLeast(k + 1, n, share) >= confidence;
  let high = k + 1;
  while (!isEnough(high)) high *= 2;
  return firstWhere(high, isEnough);
}
