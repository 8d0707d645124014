import { NormalEquations, timesVector } from '../statistics/normalEquations.ts';
import { STRETCH_SUMS } from './carriedForce.ts';

/** A good pair's error. */
const GOOD_G = 0.015;
/** Before anything is measured: an accelerometer's bias of 0.05 g or so, a lever arm of half a metre. */
const BIAS_G = 0.05;
const ARM_M = 0.5;
const RIDGES = Float64Array.from({ length: 6 }, (_, c) => (GOOD_G / (c < 3 ? BIAS_G : ARM_M)) ** 2);

/**
 * Each pair's squared error in g²: how far the mean forces of its two stretches are from 1 g in size, and from each other,
 * once the bias is taken off that does most for the latter.
 * @param carried  sums of `StretchPairs.carried`.
 * @param axes  row k: the gyro's axes that stand for the accelerometer's axis k.
 */
export function squaredErrors(
  carried: Float64Array,
  axes: Float64Array,
  design: OwnDesign = ownDesign(carried),
): Float64Array {
  const count = carried.length / (2 * STRETCH_SUMS);
  const means = new Float64Array(6 * count);
  for (let s = 0; s < 2 * count; ++s) meanForce(carried, STRETCH_SUMS * s, axes, means, 3 * s);
  takeOffOwn(carried, means, count, design);
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
  carried: Float64Array,
  first: number,
  m: Float64Array,
  out: Float64Array,
  at: number,
): void {
  for (let r = 0; r < 3; ++r) {
    let sum = 0;
    for (let c = 0; c < 3; ++c)
      for (let k = 0; k < 3; ++k) sum += carried[first + 9 * r + 3 * c + k]! * m[3 * k + c]!;
    out[at + r] = sum;
  }
}

/** What the two means of a pair differ by for each part of the body's own, row by row, and the inverse of its squares. */
interface OwnDesign {
  readonly rows: Float64Array;
  readonly inverse: Float64Array | null;
}

/** The body's own: the accelerometer's bias, and the pull and turning of a sensor at a lever arm. It is alike for all axes. */
export function ownDesign(carried: Float64Array): OwnDesign {
  const count = carried.length / (2 * STRETCH_SUMS);
  const rows = new Float64Array(18 * count);
  const sums = new NormalEquations(6);
  for (let k = 0; k < 3 * count; ++k) {
    const first = 2 * STRETCH_SUMS * Math.floor(k / 3) + 27 + 3 * (k % 3);
    const row = rows.subarray(6 * k, 6 * k + 6);
    for (let c = 0; c < 6; ++c) {
      const at = first + (c < 3 ? c : 9 + c - 3);
      row[c] = carried[at]! - carried[at + STRETCH_SUMS]!;
    }
    sums.add(row, 0);
  }
  return { rows, inverse: sums.inverse(RIDGES) };
}

/** Takes off by least squares what the body's own would make of the means. */
function takeOffOwn(
  carried: Float64Array,
  means: Float64Array,
  count: number,
  { rows, inverse }: OwnDesign,
): void {
  if (!inverse) return;
  const xy = new Float64Array(6);
  for (let k = 0; k < 3 * count; ++k) {
    const at = 6 * Math.floor(k / 3) + (k % 3);
    const apart = means[at]! - means[at + 3]!;
    for (let c = 0; c < 6; ++c) xy[c] = xy[c]! + rows[6 * k + c]! * apart;
  }
  const own = timesVector(inverse, xy);
  for (let s = 0; s < 2 * count; ++s) {
    const first = STRETCH_SUMS * s + 27;
    for (let r = 0; r < 3; ++r)
      for (let c = 0; c < 3; ++c)
        means[3 * s + r] =
          means[3 * s + r]! -
          carried[first + 3 * r + c]! * own[c]! -
          carried[first + 9 + 3 * r + c]! * own[c + 3]!;
  }
}

function sizeAt(v: Float64Array, at: number): number {
  return Math.sqrt(v[at]! ** 2 + v[at + 1]! ** 2 + v[at + 2]! ** 2);
}
