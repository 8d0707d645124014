import type { Interval } from './wilson.ts';

/**
 * Exact 95 % interval for the mean of a Poisson count, k seen: at either end the tail that includes k has probability
 * 0.025.
 * @throws RangeError  unless k is whole and 0 or more.
 * Source: F. Garwood, Biometrika 28 (1936), 437-442.
 */
export function poissonInterval(k: number): Interval {
  if (!(Number.isInteger(k) && k >= 0)) throw new RangeError(`k must be a whole number from 0, got ${k}`);
  const tail = 0.025;
  return {
    low: k === 0 ? 0 : meanWhere((mean) => 1 - atMost(k - 1, mean) < tail, k),
    high: meanWhere((mean) => atMost(k, mean) > tail, k + 10 * Math.sqrt(k + 1) + 10),
  };
}

/** The mean at which a condition that holds for low means stops holding, by bisection. */
function meanWhere(holds: (mean: number) => boolean, above: number): number {
  let [low, high] = [0, above];
  for (let step = 0; step < 60; ++step) {
    const middle = (low + high) / 2;
    if (holds(middle)) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Probability of k or fewer. The terms are logarithms: the first of them may underflow. */
function atMost(k: number, mean: number): number {
  let logTerm = -mean;
  let sum = Math.exp(logTerm);
  for (let i = 1; i <= k; ++i) {
    logTerm += Math.log(mean / i);
    sum += Math.exp(logTerm);
  }
  return Math.min(1, sum);
}
