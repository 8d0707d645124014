import { STRETCH_SUMS } from './carriedForce.ts';

/** An accelerometer's bias is 0.05 g or so, and a good pair's error 0.015 g: their ratio, squared, draws the bias to 0. */
const RIDGE = (0.015 / 0.05) ** 2;

/**
 * Each pair's squared error in g²: how far the mean forces of its two stretches are from 1 g in size, and from each other,
 * once the bias is taken off that does most for the latter.
 * @param carried  sums of `StretchPairs.carried`.
 * @param axes  row k: the gyro's axes that stand for the accelerometer's axis k.
 */
export function squaredErrors(carried: Float64Array, axes: Float64Array): Float64Array {
  const count = carried.length / (2 * STRETCH_SUMS);
  const means = new Float64Array(6 * count);
  for (let s = 0; s < 2 * count; ++s) meanForce(carried, STRETCH_SUMS * s, axes, means, 3 * s);
  takeOffBias(carried, means, count);
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

/** Least squares of what the two means of a pair differ by on what a bias in the body's axes would make of it. */
function takeOffBias(carried: Float64Array, means: Float64Array, count: number): void {
  const xx = Float64Array.of(RIDGE * count, 0, 0, 0, RIDGE * count, 0, 0, 0, RIDGE * count);
  const xy = new Float64Array(3);
  for (let k = 0; k < count; ++k) {
    const first = 2 * STRETCH_SUMS * k + 27;
    for (let r = 0; r < 3; ++r) {
      const y = means[6 * k + r]! - means[6 * k + 3 + r]!;
      for (let i = 0; i < 3; ++i) {
        const di = carried[first + 3 * r + i]! - carried[first + STRETCH_SUMS + 3 * r + i]!;
        xy[i] = xy[i]! + di * y;
        for (let j = 0; j < 3; ++j) {
          const dj = carried[first + 3 * r + j]! - carried[first + STRETCH_SUMS + 3 * r + j]!;
          xx[3 * i + j] = xx[3 * i + j]! + di * dj;
        }
      }
    }
  }
  const bias = solveThree(xx, xy);
  for (let s = 0; s < 2 * count; ++s) {
    const first = STRETCH_SUMS * s + 27;
    for (let r = 0; r < 3; ++r)
      for (let c = 0; c < 3; ++c)
        means[3 * s + r] = means[3 * s + r]! - carried[first + 3 * r + c]! * bias[c]!;
  }
}

/** Cramer's rule, for a symmetric matrix that the ridge keeps from being singular. */
function solveThree(m: Float64Array, v: Float64Array): [number, number, number] {
  const determinant = determinantOf(m);
  const solved = [0, 1, 2].map((column) => {
    const replaced = Float64Array.from(m);
    for (let r = 0; r < 3; ++r) replaced[3 * r + column] = v[r]!;
    return determinantOf(replaced) / determinant;
  });
  return [solved[0]!, solved[1]!, solved[2]!];
}

function determinantOf(m: Float64Array): number {
  return (
    m[0]! * (m[4]! * m[8]! - m[5]! * m[7]!) -
    m[1]! * (m[3]! * m[8]! - m[5]! * m[6]!) +
    m[2]! * (m[3]! * m[7]! - m[4]! * m[6]!)
  );
}

function sizeAt(v: Float64Array, at: number): number {
  return Math.sqrt(v[at]! ** 2 + v[at + 1]! ** 2 + v[at + 2]! ** 2);
}
