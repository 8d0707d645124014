import type { Segment, UniformLog } from '../log.ts';
import { identityQuat, multiplyQuat, normaliseQuat, quatFromVectorRad } from '../quat.ts';
import { RAD_PER_DEG } from '../units.ts';

/** Two neighbouring stretches of this length, each weighted by a raised cosine, in one frame that the rates carry. */
const STRETCH_S = 2;
const BIN_S = 0.01;
const MOST_PAIRS = 80;

/**
 * Rates and forces of a log in bins, grouped to pairs of stretches. Carried by the right rates, the mean force of both is
 * gravity, 1 g, and the same. A raised cosine leaves little of a sensor that swings to and fro in the mean, where a plain
 * one would leave its change of speed.
 */
export class StretchPairs {
  readonly count: number;
  private readonly stepS: number;
  private readonly perStretch: number;
  /** Bins of all pairs in a row: rates in rad/s, forces in g, three numbers each. */
  private readonly rates: Float64Array;
  private readonly forces: Float64Array;

  constructor(log: UniformLog) {
    const size = Math.max(1, Math.round(BIN_S * log.rateHz));
    this.stepS = size / log.rateHz;
    this.perStretch = Math.round(STRETCH_S / this.stepS);
    const starts = pairStarts(log.segments, size * this.perStretch);
    this.count = starts.length;
    this.rates = new Float64Array(6 * this.perStretch * this.count);
    this.forces = new Float64Array(6 * this.perStretch * this.count);
    starts.forEach((start, k) => {
      this.fill(log, start, size, k);
    });
  }

  private fill(log: UniformLog, start: number, size: number, pair: number): void {
    const gyro = [log.gyroXDps, log.gyroYDps, log.gyroZDps] as const;
    const accel = [log.accelXG, log.accelYG, log.accelZG] as const;
    const bins = 2 * this.perStretch;
    for (let b = 0; b < bins; ++b) {
      for (let axis = 0; axis < 3; ++axis) {
        const at = 3 * (pair * bins + b) + axis;
        this.rates[at] = meanOf(gyro[axis]!, start + b * size, size) * RAD_PER_DEG;
        this.forces[at] = meanOf(accel[axis]!, start + b * size, size);
      }
    }
  }

  /**
   * Mean forces with every rate times `factor`: for each stretch Σ weight · R_rc · f_k at 9 r + 3 c + k, so that any
   * exchange of the force's axes is a sum over it.
   */
  carried(factor: number): Float64Array {
    const { perStretch, count, stepS, rates, forces } = this;
    const out = new Float64Array(54 * count);
    const m = new Float64Array(9);
    const q = identityQuat();
    const half = identityQuat();
    for (let pair = 0, bin = 0; pair < count; ++pair) {
      q.set([1, 0, 0, 0]);
      for (let b = 0; b < 2 * perStretch; ++b, ++bin) {
        const k = (factor * stepS) / 2;
        quatFromVectorRad(k * rates[3 * bin]!, k * rates[3 * bin + 1]!, k * rates[3 * bin + 2]!, half);
        // the force of a bin belongs to its middle
        multiplyQuat(q, half, q);
        rotationMatrix(q, m);
        normaliseQuat(multiplyQuat(q, half, q));
        const weight = (1 - Math.cos((2 * Math.PI * ((b % perStretch) + 0.5)) / perStretch)) / perStretch;
        const first = 54 * pair + (b < perStretch ? 0 : 27);
        for (let rc = 0; rc < 9; ++rc)
          for (let f = 0; f < 3; ++f)
            out[first + 3 * rc + f] = out[first + 3 * rc + f]! + weight * m[rc]! * forces[3 * bin + f]!;
      }
    }
    return out;
  }

  /** How far the rates turn about each axis, there and back added up, in degrees. */
  turnedDeg(): [number, number, number] {
    const sums: [number, number, number] = [0, 0, 0];
    for (let i = 0; i < this.rates.length; ++i)
      sums[i % 3] = sums[i % 3]! + (Math.abs(this.rates[i]!) * this.stepS) / RAD_PER_DEG;
    return sums;
  }
}

/** Each pair's squared error in g²: how far both means are from 1 g in size, and from each other. */
export function squaredErrors(carried: Float64Array, axes: Float64Array): Float64Array {
  const errors = new Float64Array(carried.length / 54);
  const [a, b] = [new Float64Array(3), new Float64Array(3)];
  for (let k = 0; k < errors.length; ++k) {
    const sizeA = meanForce(carried, 54 * k, axes, a);
    const sizeB = meanForce(carried, 54 * k + 27, axes, b);
    const apart = (a[0]! - b[0]!) ** 2 + (a[1]! - b[1]!) ** 2 + (a[2]! - b[2]!) ** 2;
    errors[k] = (sizeA - 1) ** 2 + (sizeB - 1) ** 2 + apart;
  }
  return errors;
}

/** R Mᵀ f from the sums at `first`, M row by row; gives its length. */
function meanForce(carried: Float64Array, first: number, m: Float64Array, out: Float64Array): number {
  for (let r = 0; r < 3; ++r) {
    out[r] = 0;
    for (let c = 0; c < 3; ++c)
      for (let k = 0; k < 3; ++k) out[r] = out[r]! + carried[first + 9 * r + 3 * c + k]! * m[3 * k + c]!;
  }
  return Math.sqrt(out[0]! ** 2 + out[1]! ** 2 + out[2]! ** 2);
}

/** Pairs that overlap by half; of a long log as many as suffice, evenly spread. */
function pairStarts(segments: readonly Segment[], stretch: number): number[] {
  const starts: number[] = [];
  for (const { start, end } of segments)
    for (let i = start; i + 2 * stretch <= end; i += stretch) starts.push(i);
  const every = Math.max(1, starts.length / MOST_PAIRS);
  return Array.from(
    { length: Math.min(MOST_PAIRS, starts.length) },
    (_, k) => starts[Math.floor(k * every)]!,
  );
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
