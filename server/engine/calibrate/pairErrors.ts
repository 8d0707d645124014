import { NormalEquations, timesVector } from '../statistics/normalEquations.ts';
import { STRETCH_SUMS } from './stretchSums.ts';

/** The error of a good pair. */
const GOOD_G = 0.015;
/** Priors: an accelerometer's bias of 0.05 g, a lever arm of half a metre. */
const BIAS_G = 0.05;
const ARM_M = 0.5;
const RIDGES = Float64Array.from({ length: 6 }, (_, c) => (GOOD_G / (c < 3 ? BIAS_G : ARM_M)) ** 2);

/**
 * Each pair's squared error in g²: how far the mean forces of its two stretches differ from 1 g in size, and from each
 * other, after the bias that helps most has been subtracted.
 * @param propagated  sums of `StretchPairs.propagated`.
 * @param axes  row k: the gyro's axes that stand for the accelerometer's axis k.
 */
export function squaredErrors(
  propagated: Float64Array,
  axes: Float64Array,
  design: NuisanceDesign = nuisanceDesign(propagated),
): Float64Array {
  const count = propagated.length / (2 * STRETCH_SUMS);
  const means = new Float64Array(6 * count);
  for (let s = 0; s < 2 * count; ++s) meanForce(propagated, STRETCH_SUMS * s, axes, means, 3 * s);
  removeNuisances(propagated, means, count, design);
  const errors = new Float64Array(count);
  for (let k = 0; k < count; ++k) {
    const a = 6 * k;
    const b = a + 3;
    const apart =
      (means[a]! - means[b]!) ** 2 +
      (means[a + 1]! - means[b + 1]!) ** 2 +
      (means[a + 2]! - means[b + 2]!) ** 2;
    errors[k] = (sizeAt(means, a) - 1) ** 2 + (sizeAt(means, b) - 1) ** 2 + apart;
  }
  return errors;
}

/** R Mᵀ f, M row by row. */
function meanForce(
  propagated: Float64Array,
  first: number,
  m: Float64Array,
  out: Float64Array,
  at: number,
): void {
  for (let r = 0; r < 3; ++r) {
    let sum = 0;
    for (let c = 0; c < 3; ++c)
      for (let k = 0; k < 3; ++k) sum += propagated[first + 9 * r + 3 * c + k]! * m[3 * k + c]!;
    out[at + r] = sum;
  }
}

/**
 * Design matrix of the nuisance terms, by which the two means of a pair differ, row by row; and the inverse of its
 * normal matrix.
 */
interface NuisanceDesign {
  readonly rows: Float64Array;
  readonly inverse: Float64Array | null;
}

/**
 * The nuisance terms: the accelerometer's bias, and the centripetal and tangential force at a lever arm. They are the
 * same for every choice of axes.
 */
export function nuisanceDesign(propagated: Float64Array): NuisanceDesign {
  const count = propagated.length / (2 * STRETCH_SUMS);
  const rows = new Float64Array(18 * count);
  const sums = new NormalEquations(6);
  for (let k = 0; k < 3 * count; ++k) {
    const first = 2 * STRETCH_SUMS * Math.floor(k / 3) + 27 + 3 * (k % 3);
    const row = rows.subarray(6 * k, 6 * k + 6);
    for (let c = 0; c < 6; ++c) {
      const at = first + (c < 3 ? c : 9 + c - 3);
      row[c] = propagated[at]! - propagated[at + STRETCH_SUMS]!;
    }
    sums.add(row, 0);
  }
  return { rows, inverse: sums.inverse(RIDGES) };
}

/** Subtracts from the means, by least squares, what the nuisance terms explain. */
function removeNuisances(
  propagated: Float64Array,
  means: Float64Array,
  count: number,
  { rows, inverse }: NuisanceDesign,
): void {
  if (!inverse) return;
  const xy = new Float64Array(6);
  for (let k = 0; k < 3 * count; ++k) {
    const at = 6 * Math.floor(k / 3) + (k % 3);
    const apart = means[at]! - means[at + 3]!;
    for (let c = 0; c < 6; ++c) xy[c] = xy[c]! + rows[6 * k + c]! * apart;
  }
  const nuisance = timesVector(inverse, xy);
  for (let s = 0; s < 2 * count; ++s) {
    const first = STRETCH_SUMS * s + 27;
    for (let r = 0; r < 3; ++r)
      for (let c = 0; c < 3; ++c)
        means[3 * s + r] =
          means[3 * s + r]! -
          propagated[first + 3 * r + c]! * nuisance[c]! -
          propagated[first + 9 + 3 * r + c]! * nuisance[c + 3]!;
  }
}

function sizeAt(v: Float64Array, at: number): number {
  return Math.sqrt(v[at]! ** 2 + v[at + 1]! ** 2 + v[at + 2]! ** 2);
}
