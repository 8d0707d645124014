/** Number of sums of a stretch. */
export const STRETCH_SUMS = 45;

/** Every third of the sums is a row of the rotation: nine with a force, then three of R, then three of the arm. */
const R_AT = 27;
const ARM_AT = 36;

/** What is summed, three numbers a bin but for the turns. */
export interface Bins {
  /** R, nine numbers a bin, row by row. */
  readonly turns: Float64Array;
  /** In rad/s, as R was made of them. */
  readonly rates: Float64Array;
  /** In g. */
  readonly forces: Float64Array;
}

/** By how much each bin of a stretch counts. */
export interface StretchWeights {
  /** A raised cosine over a stretch; adds up to 1. */
  readonly mean: Float64Array;
  /**
   * Minus its derivative: the mean of d/dt (R [ω]×) is that of R [ω]× by these weights, so nothing is differentiated.
   */
  readonly arm: Float64Array;
}

/**
 * The weighted means of a stretch from bin `first` on, to `out` at `to`: R_rc f_k at 9 r + 3 c + k; then R_rc; then R [ω]×.
 * One row of R after the other: fifteen sums are as many as stay out of memory until the stretch ends.
 */
export function sumStretch(
  { turns, rates, forces }: Bins,
  first: number,
  { mean, arm }: StretchWeights,
  out: Float64Array,
  to: number,
): void {
  for (let row = 0; row < 3; ++row) {
    let xx = 0;
    let xy = 0;
    let xz = 0;
    let yx = 0;
    let yy = 0;
    let yz = 0;
    let zx = 0;
    let zy = 0;
    let zz = 0;
    let x = 0;
    let y = 0;
    let z = 0;
    let armX = 0;
    let armY = 0;
    let armZ = 0;
    for (let b = 0, bin = 3 * first; b < mean.length; ++b, bin += 3) {
      const at = 3 * bin + 3 * row;
      const rx = turns[at]!;
      const ry = turns[at + 1]!;
      const rz = turns[at + 2]!;
      const fx = forces[bin]!;
      const fy = forces[bin + 1]!;
      const fz = forces[bin + 2]!;
      const weight = mean[b]!;
      const px = weight * rx;
      const py = weight * ry;
      const pz = weight * rz;
      xx += px * fx;
      xy += px * fy;
      xz += px * fz;
      yx += py * fx;
      yy += py * fy;
      yz += py * fz;
      zx += pz * fx;
      zy += pz * fy;
      zz += pz * fz;
      x += px;
      y += py;
      z += pz;
      const by = arm[b]!;
      const ax = by * rx;
      const ay = by * ry;
      const az = by * rz;
      const wx = rates[bin]!;
      const wy = rates[bin + 1]!;
      const wz = rates[bin + 2]!;
      // A row times [ω]×, whose columns are ω × x, ω × y, ω × z.
      armX += ay * wz - az * wy;
      armY += az * wx - ax * wz;
      armZ += ax * wy - ay * wx;
    }
    out.set([xx, xy, xz, yx, yy, yz, zx, zy, zz], to + 9 * row);
    out.set([x, y, z], to + R_AT + 3 * row);
    out.set([armX, armY, armZ], to + ARM_AT + 3 * row);
  }
}

/** The sums of a stretch as they are in the frame of a turn F, row by row at `frame`: Fᵀ times each column of them. */
export function turnSums(
  frames: Float64Array,
  frame: number,
  sums: Float64Array,
  from: number,
  out: Float64Array,
  to: number,
): void {
  turnPart(frames, frame, sums, from, out, to, 9);
  turnPart(frames, frame, sums, from + R_AT, out, to + R_AT, 3);
  turnPart(frames, frame, sums, from + ARM_AT, out, to + ARM_AT, 3);
}

/** @param length  of a row */
function turnPart(
  frames: Float64Array,
  frame: number,
  sums: Float64Array,
  from: number,
  out: Float64Array,
  to: number,
  length: number,
): void {
  for (let row = 0; row < 3; ++row) {
    const a = frames[frame + row]!;
    const b = frames[frame + 3 + row]!;
    const c = frames[frame + 6 + row]!;
    for (let k = 0; k < length; ++k)
      out[to + length * row + k] =
        a * sums[from + k]! + b * sums[from + length + k]! + c * sums[from + 2 * length + k]!;
  }
}
