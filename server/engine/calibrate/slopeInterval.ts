import { studentT95 } from '../statistics/studentT.ts';
import type { StretchPairs } from './carriedForce.ts';
import { ROWS } from './pairRows.ts';
import type { SlopeFit } from './slopeFit.ts';

/** What rates have to be multiplied by, and an interval that holds it: at least 95 % for all axes together, about 95 % for one. */
export interface Slope {
  readonly slope: number;
  readonly low: number;
  readonly high: number;
}

/**
 * So much of the standard error that the fit itself gives counts beside the scatter, and no slope is known better than
 * this: a cheap gyro's crosstalk and drift within a take are not fitted. Simulated takes settle both, so that the worst
 * sensor's interval holds what it says, and that of any better sensor more: `npm run bench -- coverage`.
 */
const FITTED_PART = 0.6;
const LEAST_HALF = 0.005;

/**
 * The slope of one group of axes with its interval. Two things make its width: how pairs scatter, each with its neighbours
 * that share samples with it (the sandwich estimate), and what the fit itself leaves open (errors times geometry, and the
 * doubt about arm, gains and bias). The first alone cannot see what is alike in every pair.
 */
export function slopeInterval(pairs: StretchPairs, fit: SlopeFit, group: number): Slope {
  const { columns, inverse, slopes } = fit;
  const pulls = pairPulls(fit, pairs.overlap, group);
  const told = pairShares(fit, group);
  const freedom = Math.max(1, countAlike(told) / pairs.overlap - 1);
  const scatter = (scatterOf(pulls, pairs) * (freedom + 1)) / freedom;
  const fitted = FITTED_PART * FITTED_PART * inverse[group * columns + group]!;
  const slope = Math.abs(slopes[group]!);

  const own = studentT95(freedom) * Math.sqrt(Math.max(0, scatter) + fitted);
  const half = slope * Math.sqrt(own * own + LEAST_HALF * LEAST_HALF);
  return { slope, low: Math.max(0, slope - half), high: slope + half };
}

/** How far each pair's own errors pull the slope. */
function pairPulls(fit: SlopeFit, overlap: number, group: number): Float64Array {
  const { columns, inverse, jacobian, weights, errorG } = fit;
  const row = inverse.subarray(group * columns, (group + 1) * columns);
  const pulls = new Float64Array(weights.length);
  for (let i = 0; i < weights.length * ROWS; ++i) {
    const at = i * (columns + 1);
    let moves = 0;
    for (let c = 0; c < columns; ++c) moves += row[c]! * jacobian[at + c]!;
    const pair = Math.floor(i / ROWS);
    pulls[pair] =
      pulls[pair]! + (moves * jacobian[at + columns]! * weights[pair]!) / (errorG * errorG * overlap);
  }
  return pulls;
}
/** How much of what is known of the slope each pair tells. */
function pairShares(fit: SlopeFit, group: number): Float64Array {
  const { columns, inverse, jacobian, weights } = fit;
  const row = inverse.subarray(group * columns, (group + 1) * columns);
  const shares = new Float64Array(weights.length);
  for (let i = 0; i < weights.length * ROWS; ++i) {
    let moves = 0;
    for (let c = 0; c < columns; ++c) moves += row[c]! * jacobian[i * (columns + 1) + c]!;
    const pair = Math.floor(i / ROWS);
    shares[pair] = shares[pair]! + weights[pair]! * moves * moves;
  }
  return shares;
}

/** How many pairs that all tell as much would tell the same. */
function countAlike(shares: Float64Array): number {
  let [sum, squares] = [0, 0];
  for (const share of shares) {
    sum += share;
    squares += share * share;
  }
  return squares > 0 ? (sum * sum) / squares : 0;
}

/** Variance of the sum of pulls; those of pairs that share samples go together, by the part that they share. */
function scatterOf(pulls: Float64Array, { starts, perStretch }: StretchPairs): number {
  let sum = 0;
  for (let i = 0; i < pulls.length; ++i) {
    sum += pulls[i]! * pulls[i]!;
    for (let j = i + 1; j < pulls.length; ++j) {
      const apart = (starts[j]! - starts[i]!) / (2 * perStretch);
      if (apart >= 1) break;
      sum += 2 * (1 - apart) * pulls[i]! * pulls[j]!;
    }
  }
  return sum;
}
