import type { Segment, UniformLog } from '../base/log.ts';
import { identityQuat, multiplyQuat, normaliseQuat, quatFromVectorRad } from '../base/quat.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { choosePairs, type TurnSums } from './pairChoice.ts';

/**
 * Two neighbouring stretches of this length, each weighted by a raised cosine, in one frame that the rates propagate.
 */
const STRETCH_S = 2;
const BIN_S = 0.01;
/** With fewer bins, at a rate below 4 Hz, a stretch does not show the motion within it. */
const FEWEST_BINS = 8;
/** Slower than this is noise, sway or a residual bias, which would add up to a turn. */
const TURNING_RADPS = 5 * RAD_PER_DEG;
/** Number of sums that `propagated` gives for a stretch. */
export const STRETCH_SUMS = 45;

type Rates = Pick<
  UniformLog,
  'gyroXDps' | 'gyroYDps' | 'gyroZDps' | 'accelXG' | 'accelYG' | 'accelZG' | 'rateHz' | 'segments'
>;
export type Vec3 = readonly [number, number, number];

/**
 * Rates and forces of a log in bins, grouped to pairs of stretches. In the frame of the right rates, the mean force of
 * both is gravity: 1 g, and the same. With raised cosine weights a sensor that swings to and fro adds little to the
 * mean; with even weights its change of speed would remain.
 */
export class StretchPairs {
  readonly count: number;
  /** How many pairs a moment belongs to, on average. */
  readonly overlap: number;
  /** Degrees turned about each axis, there and back added up. */
  readonly spunDeg: Vec3;
  /** Degrees by which those turns tilted gravity; turns about gravity itself do not count. */
  readonly turnedDeg: Vec3;
  private readonly stepS: number;
  readonly perStretch: number;
  /** A raised cosine over a stretch; adds up to 1. */
  private readonly weights: Float64Array;
  /**
   * Minus their derivative: the mean of d/dt (R [ω]×) is that of R [ω]× by these weights, so nothing is differentiated.
   */
  private readonly armWeights: Float64Array;
  /** First bin of each pair. */
  readonly starts: readonly number[];
  /** All bins in a row: rates in rad/s, forces in g, three numbers each. */
  private readonly rates: Float64Array;
  private readonly forces: Float64Array;

  constructor(log: Rates) {
    const size = Math.max(1, Math.round(BIN_S * log.rateHz));
    this.stepS = size / log.rateHz;
    const perStretch = Math.round(STRETCH_S / this.stepS);
    this.perStretch = perStretch;
    this.weights = Float64Array.from(
      { length: perStretch },
      (_, b) => (1 - Math.cos((2 * Math.PI * (b + 0.5)) / perStretch)) / perStretch,
    );
    this.armWeights = Float64Array.from(
      { length: perStretch },
      (_, b) =>
        (-2 * Math.PI * Math.sin((2 * Math.PI * (b + 0.5)) / perStretch)) /
        (perStretch * perStretch * this.stepS * STANDARD_GRAVITY_MPS2),
    );
    const isFine = perStretch >= FEWEST_BINS;
    const long = log.segments.filter(({ start, end }) => isFine && end - start >= 2 * perStretch * size);
    const bins = long.reduce((sum, { start, end }) => sum + Math.floor((end - start) / size), 0);
    this.rates = new Float64Array(3 * bins);
    this.forces = new Float64Array(3 * bins);
    const parts = this.fill(log, long, size);
    const [spun, turned] = [this.sumsOf(turnOf), this.sumsOf(moveOf)];
    this.spunDeg = totalOf(spun, bins);
    this.turnedDeg = totalOf(turned, bins);
    this.starts = choosePairs(parts, perStretch, turned);
    this.count = this.starts.length;
    this.overlap = overlapOf(this.starts, 2 * perStretch);
  }

  /** Fills the bins and gives each segment's first and last. */
  private fill(log: Rates, segments: readonly Segment[], size: number): Segment[] {
    const gyro = [log.gyroXDps, log.gyroYDps, log.gyroZDps] as const;
    const accel = [log.accelXG, log.accelYG, log.accelZG] as const;
    let bin = 0;
    return segments.map(({ start, end }) => {
      const first = bin;
      for (let i = start; i + size <= end; i += size, ++bin) {
        for (let axis = 0; axis < 3; ++axis) {
          this.rates[3 * bin + axis] = meanOf(gyro[axis]!, i, size) * RAD_PER_DEG;
          this.forces[3 * bin + axis] = meanOf(accel[axis]!, i, size);
        }
      }
      return { start: first, end: bin };
    });
  }

  /** For each axis the running sum before each bin, in degrees. */
  private sumsOf(
    of: (rate: Float64Array, force: Float64Array, bin: number, axis: number) => number,
  ): TurnSums {
    const bins = this.rates.length / 3;
    const toDeg = this.stepS / RAD_PER_DEG;
    return [0, 1, 2].map((axis) => {
      const sums = new Float64Array(bins + 1);
      for (let b = 0; b < bins; ++b) sums[b + 1] = sums[b]! + of(this.rates, this.forces, b, axis) * toDeg;
      return sums;
    });
  }

  /** The largest angle, over all pairs, by which the rates as logged tilt the direction of a pair's first force. */
  mostTiltRad(): number {
    const { perStretch, stepS, rates, forces } = this;
    const q = identityQuat();
    const turn = identityQuat();
    const m = new Float64Array(9);
    let least = 1;
    for (const start of this.starts) {
      q.set([1, 0, 0, 0]);
      const [x, y, z] = [forces[3 * start]!, forces[3 * start + 1]!, forces[3 * start + 2]!];
      const square = x * x + y * y + z * z || 1;
      for (let bin = 3 * start; bin < 3 * (start + 2 * perStretch); bin += 3) {
        quatFromVectorRad(stepS * rates[bin]!, stepS * rates[bin + 1]!, stepS * rates[bin + 2]!, turn);
        normaliseQuat(multiplyQuat(q, turn, q));
        rotationMatrix(q, m);
        const dot =
          x * (m[0]! * x + m[1]! * y + m[2]! * z) +
          y * (m[3]! * x + m[4]! * y + m[5]! * z) +
          z * (m[6]! * x + m[7]! * y + m[8]! * z);
        least = Math.min(least, dot / square);
      }
    }
    return Math.acos(Math.max(-1, Math.min(1, least)));
  }

  /** The forces `byS` later, to first order. */
  private delayed(byS: number): Float64Array {
    const { forces, stepS } = this;
    const out = new Float64Array(forces.length);
    for (let k = 0; k < out.length; ++k) {
      const [lo, hi] = [k >= 3 ? k - 3 : k, k + 3 < out.length ? k + 3 : k];
      out[k] = forces[k]! + (byS * (forces[hi]! - forces[lo]!)) / (((hi - lo) / 3) * stepS);
    }
    return out;
  }

  /**
   * For each stretch, with every rate multiplied by its axis's factor, 45 weighted means: R_rc f_k at 9 r + 3 c + k, so
   * that any exchange of the force's axes is a sum over them; then R_rc itself, for a bias that turns with the body;
   * then component r of the force of a metre of lever arm along axis c, in g.
   */
  propagated([fx, fy, fz]: Vec3, [ox, oy, oz]: Vec3 = NONE, delayS = 0): Float64Array {
    const { perStretch, count, stepS, rates } = this;
    const forces = delayS === 0 ? this.forces : this.delayed(delayS);
    const out = new Float64Array(2 * STRETCH_SUMS * count);
    const m = new Float64Array(9);
    const q = identityQuat();
    const half = identityQuat();
    const k = stepS / 2;
    for (let pair = 0; pair < count; ++pair) {
      q.set([1, 0, 0, 0]);
      for (let b = 0, bin = 3 * this.starts[pair]!; b < 2 * perStretch; ++b, bin += 3) {
        const wx = fx * rates[bin]! - ox;
        const wy = fy * rates[bin + 1]! - oy;
        const wz = fz * rates[bin + 2]! - oz;
        quatFromVectorRad(k * wx, k * wy, k * wz, half);
        // the force of a bin belongs to its middle
        multiplyQuat(q, half, q);
        rotationMatrix(q, m);
        normaliseQuat(multiplyQuat(q, half, q));
        const weight = this.weights[b % perStretch]!;
        const first = STRETCH_SUMS * (2 * pair + (b < perStretch ? 0 : 1));
        addWeighted(out, first, weight, m, forces, bin);
        addArm(out, first + 36, this.armWeights[b % perStretch]!, m, wx, wy, wz);
      }
    }
    return out;
  }
}

const NONE: Vec3 = [0, 0, 0];

function turnOf(rates: Float64Array, _forces: Float64Array, bin: number, axis: number): number {
  const rate = Math.abs(rates[3 * bin + axis]!);
  return rate < TURNING_RADPS ? 0 : rate;
}

/** The turn times the sine of the angle between its axis and the force. */
function moveOf(rates: Float64Array, forces: Float64Array, bin: number, axis: number): number {
  const [x, y, z] = [forces[3 * bin]!, forces[3 * bin + 1]!, forces[3 * bin + 2]!];
  const size = x * x + y * y + z * z || 1;
  return turnOf(rates, forces, bin, axis) * Math.sqrt(Math.max(0, 1 - forces[3 * bin + axis]! ** 2 / size));
}

function totalOf(sums: TurnSums, bins: number): Vec3 {
  return [sums[0]![bins]!, sums[1]![bins]!, sums[2]![bins]!];
}

function overlapOf(starts: readonly number[], length: number): number {
  let [covered, end] = [0, 0];
  for (const start of starts) {
    covered += start + length - Math.max(start, end);
    end = start + length;
  }
  return covered > 0 ? (starts.length * length) / covered : 1;
}

function addWeighted(
  out: Float64Array,
  first: number,
  weight: number,
  m: Float64Array,
  forces: Float64Array,
  at: number,
): void {
  const [x, y, z] = [forces[at]!, forces[at + 1]!, forces[at + 2]!];
  for (let rc = 0, to = first; rc < 9; ++rc, to += 3) {
    const part = weight * m[rc]!;
    out[to] = out[to]! + part * x;
    out[to + 1] = out[to + 1]! + part * y;
    out[to + 2] = out[to + 2]! + part * z;
    out[first + 27 + rc] = out[first + 27 + rc]! + part;
  }
}

/** Adds R [ω]× times a weight, row by row. */
function addArm(
  out: Float64Array,
  first: number,
  by: number,
  m: Float64Array,
  wx: number,
  wy: number,
  wz: number,
): void {
  for (let r = 0; r < 9; r += 3) {
    const [a, b, c] = [by * m[r]!, by * m[r + 1]!, by * m[r + 2]!];
    // a row times [ω]×, whose columns are ω × x, ω × y, ω × z
    out[first + r] = out[first + r]! + b * wz - c * wy;
    out[first + r + 1] = out[first + r + 1]! + c * wx - a * wz;
    out[first + r + 2] = out[first + r + 2]! + a * wy - b * wx;
  }
}

function meanOf(values: Float64Array, from: number, count: number): number {
  let sum = 0;
  for (let i = from; i < from + count; ++i) sum += values[i]!;
  return sum / count;
}

function rotationMatrix(q: Float64Array, m: Float64Array): void {
  const w = q[0]!;
  const x = q[1]!;
  const y = q[2]!;
  const z = q[3]!;
  m[0] = 1 - 2 * (y * y + z * z);
  m[1] = 2 * (x * y - w * z);
  m[2] = 2 * (x * z + w * y);
  m[3] = 2 * (x * y + w * z);
  m[4] = 1 - 2 * (x * x + z * z);
  m[5] = 2 * (y * z - w * x);
  m[6] = 2 * (x * z - w * y);
  m[7] = 2 * (y * z + w * x);
  m[8] = 1 - 2 * (x * x + y * y);
}
