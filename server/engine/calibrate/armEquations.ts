import type { Segment, UniformLog } from '../base/log.ts';
import { identityQuat, multiplyQuat, normaliseQuat, type Quat, quatFromVectorRad } from '../base/quat.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { NormalEquations } from '../statistics/normalEquations.ts';

/**
 * Mean forces of bins of samples, in the frame that the rates propagate: for each bin and each of its three rows, `row
 * · (r, b) + gravity = force`.
 */
interface ArmBins {
  readonly count: number;
  /** Mean specific force, m/s²: three a bin. */
  readonly force: Float64Array;
  /**
   * Design matrix, 3 × 6 a bin, by rows: the force of a metre of arm along each sensor axis (1/s²), then that of a bias
   * on each.
   */
  readonly rows: Float64Array;
}

const BIN_S = 0.02;

/**
 * The bins of a stretch. In a frame that does not turn, what a sensor at r from a turning point at rest feels beside
 * gravity is the rate of change of ω × r; its mean over a bin is the change of ω × r, so nothing is differentiated.
 * @param log  the gyro's bias removed. The stretch holds no border of a segment.
 * Source: R ([ω]×² + [α]×) r = d/dt (R [ω]× r).
 */
export function armBins(log: UniformLog, { start, end }: Segment): ArmBins {
  const size = Math.max(1, Math.round(BIN_S * log.rateHz));
  const count = Math.max(0, Math.floor((end - start - 3) / size));
  const bins: ArmBins = { count, force: new Float64Array(3 * count), rows: new Float64Array(18 * count) };
  const force = new Float64Array(3 * (end - start));
  const q = identityQuat();
  const turn = identityQuat();
  const edge = { matrix: new Float64Array(9), speed: new Float64Array(9) };
  for (let i = start; i < end; ++i) {
    if (i > start) propagate(q, turn, log, i);
    rotateForce(q, log, i, force, 3 * (i - start));
    // the first bin begins at the second sample: the mean of its force needs one before it
    if ((i - start - 1) % size === 0)
      takeEdge(bins, (i - start - 1) / size, size / log.rateHz, edge, q, log, i);
  }
  meanForce(force, size, bins);
  return bins;
}

/**
 * Equations of a stretch for (r, b), gravity eliminated: it is one constant in all bins of the stretch, so the mean of
 * each row is subtracted.
 */
export function armEquations({ count, force, rows }: ArmBins): NormalEquations {
  const sums = new NormalEquations(6);
  const means = new Float64Array(18);
  const meanForces = new Float64Array(3);
  for (let k = 0; k < rows.length; ++k) means[k % 18] = means[k % 18]! + rows[k]! / count;
  for (let k = 0; k < force.length; ++k) meanForces[k % 3] = meanForces[k % 3]! + force[k]! / count;
  const row = new Float64Array(6);
  for (let k = 0; k < 3 * count; ++k) {
    const axis = k % 3;
    for (let c = 0; c < 6; ++c) row[c] = rows[6 * k + c]! - means[6 * axis + c]!;
    sums.add(row, force[k]! - meanForces[axis]!);
  }
  return sums;
}

/** Turns the frame by the mean of the rates of samples i - 1 and i. */
function propagate(q: Quat, turn: Quat, log: UniformLog, i: number): void {
  const half = (RAD_PER_DEG * log.stepUs) / 2e6;
  quatFromVectorRad(
    (log.gyroXDps[i]! + log.gyroXDps[i - 1]!) * half,
    (log.gyroYDps[i]! + log.gyroYDps[i - 1]!) * half,
    (log.gyroZDps[i]! + log.gyroZDps[i - 1]!) * half,
    turn,
  );
  normaliseQuat(multiplyQuat(q, turn, q));
}

function rotateForce(q: Quat, log: UniformLog, i: number, out: Float64Array, at: number): void {
  const w = q[0]!;
  const a = q[1]!;
  const b = q[2]!;
  const c = q[3]!;
  const x = log.accelXG[i]! * STANDARD_GRAVITY_MPS2;
  const y = log.accelYG[i]! * STANDARD_GRAVITY_MPS2;
  const z = log.accelZG[i]! * STANDARD_GRAVITY_MPS2;
  const tx = 2 * (b * z - c * y);
  const ty = 2 * (c * x - a * z);
  const tz = 2 * (a * y - b * x);
  out[at] = x + w * tx + b * tz - c * ty;
  out[at + 1] = y + w * ty + c * tx - a * tz;
  out[at + 2] = z + w * tz + a * ty - b * tx;
}

interface Edge {
  readonly matrix: Float64Array;
  readonly speed: Float64Array;
}

/** Ends the bin before an edge and begins the one behind it. */
function takeEdge(
  { count, rows }: ArmBins,
  bin: number,
  binS: number,
  edge: Edge,
  q: Quat,
  log: UniformLog,
  i: number,
): void {
  const [matrix, speed] = [edge.matrix.slice(), edge.speed.slice()];
  writeEdge(q, log, i, edge);
  if (bin === 0 || bin > count) return;
  for (let axis = 0; axis < 3; ++axis) {
    const at = 18 * (bin - 1) + 6 * axis;
    for (let c = 0; c < 3; ++c) {
      const k = 3 * axis + c;
      rows[at + c] = (edge.speed[k]! - speed[k]!) / binS;
      rows[at + 3 + c] = (edge.matrix[k]! + matrix[k]!) / 2;
    }
  }
}

/** R and R [ω]× at a sample, row by row, rates in rad/s. */
function writeEdge(q: Quat, log: UniformLog, i: number, { matrix, speed }: Edge): void {
  const [w, x, y, z] = [q[0]!, q[1]!, q[2]!, q[3]!];
  matrix.set([1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)]);
  matrix.set([2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)], 3);
  matrix.set([2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)], 6);
  const wx = log.gyroXDps[i]! * RAD_PER_DEG;
  const wy = log.gyroYDps[i]! * RAD_PER_DEG;
  const wz = log.gyroZDps[i]! * RAD_PER_DEG;
  for (let r = 0; r < 9; r += 3) {
    const [a, b, c] = [matrix[r]!, matrix[r + 1]!, matrix[r + 2]!];
    // the row times [ω]×, whose columns are ω × x, ω × y, ω × z
    speed[r] = b * wz - c * wy;
    speed[r + 1] = c * wx - a * wz;
    speed[r + 2] = a * wy - b * wx;
  }
}

/** The mean force of each bin, by the cubic through four samples: at 100 Hz, lines would lose 1 % of a 5 Hz wave. */
function meanForce(force: Float64Array, size: number, bins: ArmBins): void {
  for (let bin = 0; bin < bins.count; ++bin) {
    for (let axis = 0; axis < 3; ++axis) {
      let sum = 0;
      for (let i = 1 + bin * size; i < 1 + (bin + 1) * size; ++i) {
        const at = 3 * i + axis;
        sum += 13 * (force[at]! + force[at + 3]!) - force[at - 3]! - force[at + 6]!;
      }
      bins.force[3 * bin + axis] = sum / (24 * size);
    }
  }
}
