import { STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { NormalEquations } from '../statistics/normalEquations.ts';
import { upperMedian } from '../statistics/sorted.ts';

export interface ArmEstimate {
  /** Arm (m), then the accelerometer's bias (m/s²). */
  readonly p: Float64Array;
  /** Covariance of the arm, 3 × 3. */
  readonly covariance: Float64Array;
  readonly freedom: number;
  readonly explained: number;
}

/** Priors: an arm below a metre, an accelerometer's bias below 0.05 g. */
const ARM_PRIOR_M = 1;
const BIAS_PRIOR_MPS2 = 0.05 * STANDARD_GRAVITY_MPS2;
/** Outliers: a stretch whose residual is this many times the median one, by impacts or a moving body, counts less. */
const ROUGH = 2;
/**
 * A hand that moves in step with the swings biases the arm of every stretch alike, and no residual shows it. It is
 * taken to hide as much as remains visible: a wave in step with the swings, with this part of the residual's root mean
 * square, is one standard error.
 */
const IN_STEP = 0.2;
/** Along the arm more can hide: a hand that goes to and fro with the blade looks like a longer or a shorter arm. */
const IN_STEP_ALONG = 0.35;

/**
 * Arm and bias from the equations of many stretches, outliers counting less, and the arm's covariance.
 * @returns null where the stretches do not determine it.
 */
export function estimateArm(blocks: readonly NormalEquations[]): ArmEstimate | null {
  let weights = blocks.map(() => 1);
  let ridge = ridgeFor(1);
  let p: Float64Array | null = null;
  for (let round = 0; round < 4; ++round) {
    p = total(blocks, weights).solve(ridge);
    if (!p) return null;
    const errors = blocks.map((block) => block.squaredError(p!) / block.count);
    const typical = upperMedian(errors);
    weights = errors.map((error) => Math.min(1, (ROUGH * ROUGH * typical) / error));
    ridge = ridgeFor(typical);
  }
  return assess(blocks, weights, ridge);
}

function assess(
  blocks: readonly NormalEquations[],
  weights: readonly number[],
  ridge: Float64Array,
): ArmEstimate | null {
  const all = total(blocks, weights);
  const inverse = all.inverse(ridge);
  const p = all.solve(ridge);
  if (!inverse || !p) return null;
  const variance = all.squaredError(p) / all.count;
  const covariance = jackknife(blocks, weights, ridge, p);
  if (!covariance) return null;
  const hidden = variance * (1 + IN_STEP * IN_STEP * all.count);
  for (let r = 0; r < 3; ++r)
    for (let c = 0; c < 3; ++c) covariance[3 * r + c] = covariance[3 * r + c]! + hidden * inverse[6 * r + c]!;
  widenAlong(covariance, p, inverse, variance * all.count * (IN_STEP_ALONG ** 2 - IN_STEP ** 2));
  const withoutArm = total(blocks, weights).squaredError(Float64Array.of(0, 0, 0, p[3]!, p[4]!, p[5]!));
  return {
    p,
    covariance,
    freedom: Math.max(1, effectiveBlocks(blocks, weights) - 1),
    explained: withoutArm > 0 ? Math.max(0, 1 - all.squaredError(p) / withoutArm) : 0,
  };
}

/** Adds to the arm's variance in its own direction `times` the one that the inverse gives. */
function widenAlong(covariance: Float64Array, p: Float64Array, inverse: Float64Array, times: number): void {
  const square = p[0]! ** 2 + p[1]! ** 2 + p[2]! ** 2;
  if (!(square > 0)) return;
  let along = 0;
  for (let r = 0; r < 3; ++r)
    for (let c = 0; c < 3; ++c) along += (p[r]! * inverse[6 * r + c]! * p[c]!) / square;
  for (let r = 0; r < 3; ++r)
    for (let c = 0; c < 3; ++c)
      covariance[3 * r + c] = covariance[3 * r + c]! + (times * along * p[r]! * p[c]!) / square;
}

function ridgeFor(variance: number): Float64Array {
  const arm = variance / (ARM_PRIOR_M * ARM_PRIOR_M);
  const bias = variance / (BIAS_PRIOR_MPS2 * BIAS_PRIOR_MPS2);
  return Float64Array.of(arm, arm, arm, bias, bias, bias);
}

function total(blocks: readonly NormalEquations[], weights: readonly number[]): NormalEquations {
  const sums = new NormalEquations(6);
  blocks.forEach((block, k) => {
    sums.addBlock(block, weights[k]);
  });
  return sums;
}

/** Covariance of the arm by leaving out one block at a time. Source: the delete-one jackknife, any text on resampling. */
function jackknife(
  blocks: readonly NormalEquations[],
  weights: readonly number[],
  ridge: Float64Array,
  p: Float64Array,
): Float64Array | null {
  const covariance = new Float64Array(9);
  const factor = (blocks.length - 1) / blocks.length;
  const all = total(blocks, weights);
  for (let k = 0; k < blocks.length; ++k) {
    all.addBlock(blocks[k]!, -weights[k]!);
    const without = all.solve(ridge);
    all.addBlock(blocks[k]!, weights[k]!);
    if (!without) return null;
    for (let r = 0; r < 3; ++r)
      for (let c = 0; c < 3; ++c)
        covariance[3 * r + c] =
          covariance[3 * r + c]! + factor * (without[r]! - p[r]!) * (without[c]! - p[c]!);
  }
  return covariance;
}

/** Effective number of blocks: how many of equal weight would carry the same information. */
function effectiveBlocks(blocks: readonly NormalEquations[], weights: readonly number[]): number {
  let sum = 0;
  let squares = 0;
  blocks.forEach(({ xx }, k) => {
    const said = weights[k]! * (xx[0]! + xx[7]! + xx[14]!);
    sum += said;
    squares += said * said;
  });
  return squares > 0 ? (sum * sum) / squares : 0;
}
