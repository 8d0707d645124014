import { STRETCH_SUMS } from './stretchSums.ts';

/** Residuals of a pair, 0 if all is right: the difference of its two mean forces (3), and their sizes less 1 g (2). */
export const ROWS = 5;
/** Nuisance terms of a mean force: the accelerometer's bias, g (3); lever arm, m (3); gains of its axes (9). */
export const NUISANCES = 15;

/**
 * The residuals of each pair after the nuisance terms have been subtracted.
 * @param propagated  sums of `StretchPairs.propagated`.
 * @param axes  row k: the gyro's axes that stand for the accelerometer's axis k.
 * @param nuisance  as `NUISANCES` has it; a gain at 6 + 3 j + c is the share of axis j that belongs to axis c of the
 * gyro's frame.
 */
export function pairRows(propagated: Float64Array, axes: Float64Array, nuisance: Float64Array): Float64Array {
  const count = propagated.length / (2 * STRETCH_SUMS);
  const gained = gainedAxes(axes, nuisance);
  const rows = new Float64Array(ROWS * count);
  const means = new Float64Array(6);
  for (let pair = 0; pair < count; ++pair) {
    meanForce(propagated, STRETCH_SUMS * 2 * pair, gained, nuisance, means, 0);
    meanForce(propagated, STRETCH_SUMS * (2 * pair + 1), gained, nuisance, means, 3);
    const at = ROWS * pair;
    for (let r = 0; r < 3; ++r) rows[at + r] = means[r]! - means[3 + r]!;
    rows[at + 3] = sizeAt(means, 0) - 1;
    rows[at + 4] = sizeAt(means, 3) - 1;
  }
  return rows;
}

function gainedAxes(axes: Float64Array, nuisance: Float64Array): Float64Array {
  const out = axes.slice();
  for (let k = 0; k < 9; ++k) {
    const [row, c] = [3 * Math.floor(k / 3), k % 3];
    for (let j = 0; j < 3; ++j) out[k] = out[k]! + nuisance[6 + 3 * j + c]! * axes[row + j]!;
  }
  return out;
}

function meanForce(
  propagated: Float64Array,
  first: number,
  m: Float64Array,
  nuisance: Float64Array,
  out: Float64Array,
  at: number,
): void {
  for (let r = 0; r < 3; ++r) {
    let sum = 0;
    for (let c = 0; c < 3; ++c) {
      const rc = first + 3 * (3 * r + c);
      for (let k = 0; k < 3; ++k) sum += propagated[rc + k]! * m[3 * k + c]!;
      const rest = first + 27 + 3 * r + c;
      sum -= propagated[rest]! * nuisance[c]! + propagated[rest + 9]! * nuisance[3 + c]!;
    }
    out[at + r] = sum;
  }
}

function sizeAt(v: Float64Array, at: number): number {
  return Math.sqrt(v[at]! ** 2 + v[at + 1]! ** 2 + v[at + 2]! ** 2);
}
