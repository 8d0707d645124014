import { STRETCH_SUMS } from './carriedForce.ts';

/** Numbers a pair that should be 0: its two mean forces differ by (3), their sizes less 1 g (2). */
export const ROWS = 5;
/** What of a mean force is the body's own: the accelerometer's bias, g (3); lever arm, m (3); gains of its axes (9). */
export const OWN_PARTS = 15;

/**
 * For each pair, what is left of its forces once the body's own is taken off.
 * @param carried  sums of `StretchPairs.carried`.
 * @param axes  row k: the gyro's axes that stand for the accelerometer's axis k.
 * @param own  as `OWN_PARTS` has it; a gain at 6 + 3 j + c is what axis c of the gyro's frame should get of axis j.
 */
export function pairRows(carried: Float64Array, axes: Float64Array, own: Float64Array): Float64Array {
  const count = carried.length / (2 * STRETCH_SUMS);
  const gained = gainedAxes(axes, own);
  const rows = new Float64Array(ROWS * count);
  const means = new Float64Array(6);
  for (let pair = 0; pair < count; ++pair) {
    meanForce(carried, STRETCH_SUMS * 2 * pair, gained, own, means, 0);
    meanForce(carried, STRETCH_SUMS * (2 * pair + 1), gained, own, means, 3);
    const at = ROWS * pair;
    for (let r = 0; r < 3; ++r) rows[at + r] = means[r]! - means[3 + r]!;
    rows[at + 3] = sizeAt(means, 0) - 1;
    rows[at + 4] = sizeAt(means, 3) - 1;
  }
  return rows;
}

function gainedAxes(axes: Float64Array, own: Float64Array): Float64Array {
  const out = axes.slice();
  for (let k = 0; k < 9; ++k) {
    const [row, c] = [3 * Math.floor(k / 3), k % 3];
    for (let j = 0; j < 3; ++j) out[k] = out[k]! + own[6 + 3 * j + c]! * axes[row + j]!;
  }
  return out;
}

function meanForce(
  carried: Float64Array,
  first: number,
  m: Float64Array,
  own: Float64Array,
  out: Float64Array,
  at: number,
): void {
  for (let r = 0; r < 3; ++r) {
    let sum = 0;
    for (let c = 0; c < 3; ++c) {
      const rc = first + 3 * (3 * r + c);
      for (let k = 0; k < 3; ++k) sum += carried[rc + k]! * m[3 * k + c]!;
      const rest = first + 27 + 3 * r + c;
      sum -= carried[rest]! * own[c]! + carried[rest + 9]! * own[3 + c]!;
    }
    out[at + r] = sum;
  }
}

function sizeAt(v: Float64Array, at: number): number {
  return Math.sqrt(v[at]! ** 2 + v[at + 1]! ** 2 + v[at + 2]! ** 2);
}
