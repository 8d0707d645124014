import { studentT95 } from '../statistics/studentT.ts';
import { ROWS } from './pairRows.ts';
import type { SlopeFit } from './slopeFit.ts';
import type { StretchPairs } from './stretchPairs.ts';

/** The factor on the rates, and an interval that holds it: at least 95 % for all axes together, about 95 % for one. */
export interface Slope {
  readonly slope: number;
  readonly low: number;
  readonly high: number;
}

/**
 * The share of the fit's own standard error that is added to the scatter, and the smallest half width: a cheap gyro's
 * crosstalk and drift within a take are not fitted. Both were set by simulated takes, so that the worst sensor's
 * interval holds what it claims, and that of any better sensor more: `npm run bench -- coverage`.
 */
const FITTED_PART = 0.6;
const LEAST_HALF = 0.005;

/**
 * The slope of one group of axes with its interval. Its width has two parts: the scatter of pairs, each together with
 * the neighbours that share samples with it (the sandwich estimate), and the uncertainty of the fit itself (errors
 * times geometry, and the doubt about arm, gains and bias). The scatter alone cannot show an error that all pairs have
 * in common.
 */
export function slopeInterval(pairs: StretchPairs, fit: SlopeFit, group: number): Slope {
  const { columns, inverse, slopes } = fit;
  const pulls = pairPulls(fit, pairs.overlap, group);
  const shares = pairShares(fit, group);
  const freedom = Math.max(1, countAlike(shares) / pairs.overlap - 1);
  const scatter = (scatterOf(pulls, pairs) * (freedom + 1)) / freedom;
  const fitted = FITTED_PART * FITTED_PART * inverse[group * columns + group]!;
  const slope = Math.abs(slopes[group]!);

  const error = studentT95(freedom) * Math.sqrt(Math.max(0, scatter) + fitted);
  const half = slope * Math.sqrt(error * error + LEAST_HALF * LEAST_HALF);
  return { slope, low: Math.max(0, slope - half), high: slope + half };
}

/** Influence of each pair's errors on the slope. */
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
/** Each pair's share of the information on the slope. */
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

/** Effective number of pairs: how many with equal shares would carry the same information. */
function countAlike(shares: Float64Array): number {
  let [sum, squares] = [0, 0];
  for (const share of shares) {
    sum += share;
    squares += share * share;
  }
  return squares > 0 ? (sum * sum) / squares : 0;
}

/** Variance of the sum of influences; pairs that share samples are correlated by the shared part. */
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
