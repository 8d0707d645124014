import type { Segment, UniformLog } from '../log.ts';
import { identityQuat, multiplyQuat, normaliseQuat, quatFromVectorRad } from '../quat.ts';
import { RAD_PER_DEG } from '../units.ts';
import { choosePairs, type TurnSums } from './pairChoice.ts';

/** Two neighbouring stretches of this length, each weighted by a raised cosine, in one frame that the rates carry. */
const STRETCH_S = 2;
const BIN_S = 0.01;
/** A stretch of fewer bins, at a rate below 4 Hz, says nothing of what goes on within it. */
const FEWEST_BINS = 8;
/** Slower than this is noise, sway or a bias that is not quite right: added up it would pass for a turn. */
const TURNING_RADPS = 5 * RAD_PER_DEG;
/** Sums that `carried` keeps of a stretch. */
export const STRETCH_SUMS = 36;

type Rates = Pick<
  UniformLog,
  'gyroXDps' | 'gyroYDps' | 'gyroZDps' | 'accelXG' | 'accelYG' | 'accelZG' | 'rateHz' | 'segments'
>;
type Vec3 = readonly [number, number, number];

/**
 * Rates and forces of a log in bins, grouped to pairs of stretches. Carried by the right rates, the mean force of both is
 * gravity, 1 g, and the same. A raised cosine leaves little of a sensor that swings to and fro in the mean, where a plain
 * one would leave its change of speed.
 */
export class StretchPairs {
  readonly count: number;
  /** Degrees turned about each axis, there and back added up. */
  readonly spunDeg: Vec3;
  /** How far those turns took gravity, in degrees; turns about gravity itself do not count. */
  readonly turnedDeg: Vec3;
  private readonly stepS: number;
  private readonly perStretch: number;
  /** A raised cosine over a stretch; adds up to 1. */
  private readonly weights: Float64Array;
  /** First bin of each pair. */
  private readonly starts: readonly number[];
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

  /** For each axis, sums from the first bin to before each bin, in degrees. */
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

  /**
   * With every rate times its axis's factor, for each stretch 36 sums of weights that add up to 1: R_rc f_k at
   * 9 r + 3 c + k, so that any exchange of the force's axes is a sum over it, and behind it R_rc itself, for a bias that
   * turns with the body.
   */
  carried([fx, fy, fz]: Vec3): Float64Array {
    const { perStretch, count, stepS, rates, forces } = this;
    const out = new Float64Array(2 * STRETCH_SUMS * count);
    const m = new Float64Array(9);
    const q = identityQuat();
    const half = identityQuat();
    const k = stepS / 2;
    for (let pair = 0; pair < count; ++pair) {
      q.set([1, 0, 0, 0]);
      for (let b = 0, bin = 3 * this.starts[pair]!; b < 2 * perStretch; ++b, bin += 3) {
        quatFromVectorRad(k * fx * rates[bin]!, k * fy * rates[bin + 1]!, k * fz * rates[bin + 2]!, half);
        // the force of a bin belongs to its middle
        multiplyQuat(q, half, q);
        rotationMatrix(q, m);
        normaliseQuat(multiplyQuat(q, half, q));
        const weight = this.weights[b % perStretch]!;
        const first = STRETCH_SUMS * (2 * pair + (b < perStretch ? 0 : 1));
        addWeighted(out, first, weight, m, forces, bin);
      }
    }
    return out;
  }
}

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
