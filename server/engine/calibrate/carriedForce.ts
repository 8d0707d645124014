import type { Segment, UniformLog } from '../log.ts';
import { identityQuat, multiplyQuat, normaliseQuat, quatFromVectorRad } from '../quat.ts';
import { RAD_PER_DEG } from '../units.ts';

/** Two neighbouring stretches of this length, each weighted by a raised cosine, in one frame that the rates carry. */
const STRETCH_S = 2;
const BIN_S = 0.01;
const MOST_PAIRS = 80;
/** Sums that `carried` keeps of a stretch. */
export const STRETCH_SUMS = 36;

/**
 * Rates and forces of a log in bins, grouped to pairs of stretches. Carried by the right rates, the mean force of both is
 * gravity, 1 g, and the same. A raised cosine leaves little of a sensor that swings to and fro in the mean, where a plain
 * one would leave its change of speed.
 */
export class StretchPairs {
  readonly count: number;
  private readonly stepS: number;
  private readonly perStretch: number;
  /** Bins of each pair that no later pair holds as well. */
  private readonly fresh: readonly number[];
  /** Bins of all pairs in a row: rates in rad/s, forces in g, three numbers each. */
  private readonly rates: Float64Array;
  private readonly forces: Float64Array;

  constructor(log: UniformLog) {
    const size = Math.max(1, Math.round(BIN_S * log.rateHz));
    this.stepS = size / log.rateHz;
    this.perStretch = Math.round(STRETCH_S / this.stepS);
    const starts = pairStarts(log.segments, size * this.perStretch);
    this.count = starts.length;
    this.fresh = starts.map((start, k) => {
      const untilNext = ((starts[k + 1] ?? Number.POSITIVE_INFINITY) - start) / size;
      return Math.min(2 * this.perStretch, Math.round(untilNext));
    });
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
   * With every rate times `factor`, for each stretch 36 sums of weights that add up to 1: R_rc f_k at 9 r + 3 c + k, so
   * that any exchange of the force's axes is a sum over it, and behind it R_rc itself, for a bias that turns with the body.
   */
  carried(factor: number): Float64Array {
    const { perStretch, count, stepS, rates, forces } = this;
    const out = new Float64Array(2 * STRETCH_SUMS * count);
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
        const first = STRETCH_SUMS * (2 * pair + (b < perStretch ? 0 : 1));
        addWeighted(out, first, weight, m, forces, 3 * bin);
      }
    }
    return out;
  }

  /** How far turns about each axis took gravity, there and back added up, in degrees; turns about gravity do not count. */
  turnedDeg(): [number, number, number] {
    const { perStretch, count, rates, forces, stepS } = this;
    const sums: [number, number, number] = [0, 0, 0];
    for (let bin = 0; bin < 2 * perStretch * count; ++bin) {
      if (bin % (2 * perStretch) >= this.fresh[Math.floor(bin / (2 * perStretch))]!) continue;
      const [x, y, z] = [forces[3 * bin]!, forces[3 * bin + 1]!, forces[3 * bin + 2]!];
      const size = Math.sqrt(x * x + y * y + z * z) || 1;
      const k = stepS / (RAD_PER_DEG * size);
      sums[0] += Math.abs(rates[3 * bin]!) * Math.sqrt(y * y + z * z) * k;
      sums[1] += Math.abs(rates[3 * bin + 1]!) * Math.sqrt(x * x + z * z) * k;
      sums[2] += Math.abs(rates[3 * bin + 2]!) * Math.sqrt(x * x + y * y) * k;
    }
    return sums;
  }
}

/** A pair starts every half stretch; of a long log as many as suffice, evenly spread. */
function pairStarts(segments: readonly Segment[], stretch: number): number[] {
  const starts: number[] = [];
  for (const { start, end } of segments)
    for (let i = start; i + 2 * stretch <= end; i += stretch / 2) starts.push(Math.floor(i));
  const every = Math.max(1, starts.length / MOST_PAIRS);
  return Array.from(
    { length: Math.min(MOST_PAIRS, starts.length) },
    (_, k) => starts[Math.floor(k * every)]!,
  );
}

function addWeighted(
  out: Float64Array,
  first: number,
  weight: number,
  m: Float64Array,
  forces: Float64Array,
  at: number,
): void {
  for (let rc = 0; rc < 9; ++rc) {
    const part = weight * m[rc]!;
    out[first + 27 + rc] = out[first + 27 + rc]! + part;
    for (let k = 0; k < 3; ++k) out[first + 3 * rc + k] = out[first + 3 * rc + k]! + part * forces[at + k]!;
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
