import { RAD_PER_DEG } from '../base/units.ts';
import { NormalEquations, timesVector } from '../statistics/normalEquations.ts';
import { upperMedian } from '../statistics/sorted.ts';
import { NUISANCES, pairRows, ROWS } from './pairRows.ts';
import type { StretchPairs, Vec3 } from './stretchPairs.ts';

/**
 * Parameters fitted with the slopes: the nuisance terms, the gyro's residual bias (rad/s, 3), the force's delay (s).
 */
const OFFSET_AT = NUISANCES;
const DELAY_AT = OFFSET_AT + 3;
const BESIDE = DELAY_AT + 1;
/** Priors: common parts without calibration, and rests that leave a little of the gyro's bias. */
const USUAL = Float64Array.from({ length: BESIDE }, (_, c) => {
  if (c < 3) return 0.05;
  if (c < 6) return 0.5;
  if (c < OFFSET_AT) return 0.02;
  return c < DELAY_AT ? 0.5 * RAD_PER_DEG : 0.005;
});
const STEP = { slope: 1e-5, nuisance: 1e-6, offset: 1e-5, delay: 1e-3 };
const ROUNDS = 10;
const REWEIGHTS = 4;
/** Outliers: a pair whose error is this many times the usual one, by a push or a hit, counts less. */
const ROUGH = 2;
/** The smallest error that is believed. */
const LEAST_ERROR_G = 0.0005;
/** No iteration moves a slope by more than FARTHEST; the search ends where none moves by more than ENOUGH. */
const FARTHEST = 0.05;
const ENOUGH = 0.001;

/** The linearised problem at the solution, which gives the errors of the slopes. */
export interface SlopeFit {
  /** The factors on the rates of each group of axes, as they are logged. */
  readonly slopes: readonly number[];
  /** Root mean square error of a row, g. */
  readonly errorG: number;
  /** (JᵀWJ + priors)⁻¹, slopes first. */
  readonly inverse: Float64Array;
  readonly columns: number;
  /** Row by row: derivatives by the slopes and by the other parameters, then the residual. */
  readonly jacobian: Float64Array;
  /** One a pair. */
  readonly weights: Float64Array;
}

/**
 * Slopes of the gyro's axes, fitted together with everything else that moves the propagated force: the arm, the
 * accelerometer's bias and gains, the gyro's residual bias, a delay between the sensors. Gauss-Newton, outliers
 * counting less.
 * @param factors  starting point.
 * @param groups  axes that share a slope; an axis in none keeps its factor.
 * @returns null where the search diverges.
 */
export function fitSlopes(
  pairs: StretchPairs,
  axes: Float64Array,
  factors: Vec3,
  groups: readonly (readonly number[])[],
): SlopeFit | null {
  const beside = new Float64Array(BESIDE);
  const by = groups.map(() => 1);
  for (let round = 0; round < ROUNDS; ++round) {
    const jacobian = linearise(pairs, axes, factors, groups, by, beside);
    const solved = solve(jacobian, groups.length, beside, pairs.overlap);
    if (!solved) return null;
    let moved = 0;
    by.forEach((slope, k) => {
      const step = Math.max(-FARTHEST, Math.min(FARTHEST, solved.step[k]!));
      by[k] = slope + step;
      moved = Math.max(moved, Math.abs(step));
    });
    for (let c = 0; c < BESIDE; ++c) beside[c] = beside[c]! + solved.step[groups.length + c]!;
    if (moved > ENOUGH || round === 0) continue;
    const slopes = by.map((slope, k) => slope * factors[groups[k]![0]!]!);
    return { slopes, ...solved, columns: groups.length + BESIDE, jacobian };
  }
  return null;
}

function linearise(
  pairs: StretchPairs,
  axes: Float64Array,
  factors: Vec3,
  groups: readonly (readonly number[])[],
  by: readonly number[],
  beside: Float64Array,
): Float64Array {
  const columns = groups.length + BESIDE;
  const nuisance = beside.subarray(0, NUISANCES);
  const propagatedAt = (slopes: readonly number[], at: Float64Array): Float64Array => {
    const [x, y, z] = at.subarray(OFFSET_AT, DELAY_AT);
    return pairs.propagated(timesGroups(factors, groups, slopes), [x!, y!, z!], at[DELAY_AT]!);
  };
  const propagated = propagatedAt(by, beside);
  const here = pairRows(propagated, axes, nuisance);
  const out = new Float64Array(here.length * (columns + 1));
  const put = (column: number, rows: Float64Array, step: number): void => {
    for (let i = 0; i < rows.length; ++i) out[i * (columns + 1) + column] = (rows[i]! - here[i]!) / step;
  };
  const stepped = (values: ArrayLike<number>, k: number, step: number): Float64Array =>
    Float64Array.from(values, (value, i) => (i === k ? value + step : value));
  groups.forEach((_, k) => {
    const slopes = stepped(by, k, STEP.slope);
    put(k, pairRows(propagatedAt([...slopes], beside), axes, nuisance), STEP.slope);
  });
  for (let c = 0; c < NUISANCES; ++c)
    put(groups.length + c, pairRows(propagated, axes, stepped(nuisance, c, STEP.nuisance)), STEP.nuisance);
  for (let c = OFFSET_AT; c < BESIDE; ++c) {
    const step = c === DELAY_AT ? STEP.delay : STEP.offset;
    put(groups.length + c, pairRows(propagatedAt(by, stepped(beside, c, step)), axes, nuisance), step);
  }
  for (let i = 0; i < here.length; ++i) out[i * (columns + 1) + columns] = here[i]!;
  return out;
}

function timesGroups(factors: Vec3, groups: readonly (readonly number[])[], by: readonly number[]): Vec3 {
  const out: [number, number, number] = [...factors];
  groups.forEach((group, k) => {
    for (const axis of group) out[axis] = factors[axis]! * by[k]!;
  });
  return out;
}

interface Solved {
  readonly step: Float64Array;
  readonly inverse: Float64Array;
  readonly weights: Float64Array;
  readonly errorG: number;
}

/** @param overlap  how many pairs a moment belongs to: the rows together carry that much less information */
function solve(jacobian: Float64Array, slopes: number, beside: Float64Array, overlap: number): Solved | null {
  const columns = slopes + BESIDE;
  const pairs = jacobian.length / ((columns + 1) * ROWS);
  let step: Float64Array = new Float64Array(columns);
  let weights: Float64Array = new Float64Array(pairs).fill(1);
  let inverse: Float64Array | null = null;
  let variance = 0;
  for (let round = 0; round < REWEIGHTS; ++round) {
    const errors = pairErrors(jacobian, columns, step, pairs);
    if (round > 0) weights = roughWeights(errors);
    variance = weightedMean(errors, weights) / ROWS + LEAST_ERROR_G * LEAST_ERROR_G;
    const sums = new NormalEquations(columns);
    const ridge = new Float64Array(columns).fill(1e-6, 0, slopes);
    addRows(sums, jacobian, weights, 1 / (variance * overlap));
    for (let c = 0; c < BESIDE; ++c) {
      ridge[slopes + c] = 1 / USUAL[c]! ** 2;
      // what is fitted is the step, and what is usual is said of the whole
      sums.xy[slopes + c] = sums.xy[slopes + c]! - beside[c]! / USUAL[c]! ** 2;
    }
    inverse = sums.inverse(ridge);
    if (!inverse) return null;
    step = timesVector(inverse, sums.xy);
  }
  return { step, inverse: inverse!, weights, errorG: Math.sqrt(variance) };
}

function addRows(sums: NormalEquations, jacobian: Float64Array, weights: Float64Array, by: number): void {
  const { size } = sums;
  const row = new Float64Array(size);
  for (let i = 0; i < weights.length * ROWS; ++i) {
    const weight = Math.sqrt(weights[Math.floor(i / ROWS)]! * by);
    const at = i * (size + 1);
    for (let c = 0; c < size; ++c) row[c] = jacobian[at + c]! * weight;
    sums.add(row, -jacobian[at + size]! * weight);
  }
}

function pairErrors(
  jacobian: Float64Array,
  columns: number,
  step: Float64Array,
  pairs: number,
): Float64Array {
  const errors = new Float64Array(pairs);
  for (let i = 0; i < pairs * ROWS; ++i) {
    const at = i * (columns + 1);
    let left = jacobian[at + columns]!;
    for (let c = 0; c < columns; ++c) left += jacobian[at + c]! * step[c]!;
    const pair = Math.floor(i / ROWS);
    errors[pair] = errors[pair]! + left * left;
  }
  return errors;
}

function roughWeights(errors: Float64Array): Float64Array {
  const usual = upperMedian(errors);
  return errors.map((error) => (error > ROUGH * ROUGH * usual ? (ROUGH * ROUGH * usual) / error : 1));
}

function weightedMean(values: Float64Array, weights: Float64Array): number {
  let [sum, total] = [0, 0];
  for (let k = 0; k < values.length; ++k) {
    sum += weights[k]! * values[k]!;
    total += weights[k]!;
  }
  return total > 0 ? sum / total : 0;
}
