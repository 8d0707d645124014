import type { Segment, Span, UniformLog } from '../base/log.ts';
import { Scratch } from '../base/scratch.ts';
import { DEG_PER_RAD, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import type { NormalEquations } from '../statistics/normalEquations.ts';
import { planeRadius95, studentT95 } from '../statistics/studentT.ts';
import { armBins, armEquations } from './armEquations.ts';
import { type ArmEstimate, estimateArm } from './armEstimate.ts';
import { findSwingStretches } from './swingStretches.ts';

/** The sensor's position from the turning point, as a take's swings show it; in the frame of the log. */
export interface LeverArmFit {
  /** From the turning point to the sensor. */
  readonly armM: readonly [number, number, number];
  readonly leverArmM: number;
  /** Interval that holds the lever arm with at least 95 %. */
  readonly lowM: number;
  readonly highM: number;
  /** Unit vector along armM: toward the tip where the sensor sits on the tip's side of the turning point. */
  readonly bladeAxis: readonly [number, number, number];
  /** Half angle of the cone that holds the blade axis with at least 95 %; 180 where nothing is known of it. */
  readonly coneDeg: number;
  /** The accelerometer's bias; drawn toward 0 where the take does not determine it. */
  readonly accelBiasG: readonly [number, number, number];
  /** Share of the swings' force, gravity apart, that the arm explains; 0 to 1. */
  readonly explained: number;
  readonly stretches: readonly ArmStretch[];
}

/** The lever arm along the blade axis that one stretch of swinging shows by itself. */
export interface ArmStretch extends Span {
  readonly peakDps: number;
  readonly leverArmM: number;
}

const FEWEST_STRETCHES = 4;
/** A stretch of fewer bins says little more than its own mean. */
const FEWEST_BINS = 8;

/**
 * Blade axis and lever arm from a take's own swings, by linear least squares on `f = ĝ + ([ω]×² + [α]×) r + b`. Gravity
 * is the constant of each stretch in the frame that the rates propagate. The intervals are a jackknife over stretches,
 * since neighbouring samples have correlated errors. Both sensors' scales are assumed right: a gyro that reads 2 % too
 * much makes the arm 3 to 4 % too short.
 * @param log  the gyro's bias removed.
 * @param scratch  for a column of speeds.
 * @returns null where the take holds fewer than four sound stretches of swinging.
 */
export function fitLeverArm(log: UniformLog, scratch: Scratch = new Scratch()): LeverArmFit | null {
  const speedDps = totalSpeed(log, scratch.column('speed', log.timeUs.length));
  const stretches = findSwingStretches(log, speedDps)
    .map((segment) => ({ segment, bins: armBins(log, segment) }))
    .filter(({ bins }) => bins.count >= FEWEST_BINS)
    .map(({ segment, bins }) => ({ segment, sums: armEquations(bins) }));
  if (stretches.length < FEWEST_STRETCHES) return null;
  const blocks = stretches.map(({ sums }) => sums);
  const fit = estimateArm(blocks);
  if (!fit) return null;
  const alone = stretches.map(({ segment, sums }) => stretchArm(log, speedDps, segment, sums, fit.p));
  return { ...describe(fit), stretches: alone };
}

function describe({ p, covariance, freedom, explained }: ArmEstimate): Omit<LeverArmFit, 'stretches'> {
  const [x, y, z] = [p[0]!, p[1]!, p[2]!];
  const length = Math.sqrt(x * x + y * y + z * z);
  const axis = length > 0 ? ([x / length, y / length, z / length] as const) : ([1, 0, 0] as const);
  const half = studentT95(freedom) * Math.sqrt(along(covariance, axis));
  const across = Math.sqrt(widestAcross(covariance, axis));
  const reach = planeRadius95(freedom) * across;
  const g = STANDARD_GRAVITY_MPS2;
  return {
    armM: [x, y, z],
    leverArmM: length,
    lowM: Math.max(0, length - half),
    highM: length + half,
    bladeAxis: axis,
    coneDeg: reach < length ? Math.asin(reach / length) * DEG_PER_RAD : 180,
    accelBiasG: [p[3]! / g, p[4]! / g, p[5]! / g],
    explained,
  };
}

function along(m: Float64Array, u: readonly [number, number, number]): number {
  let sum = 0;
  for (let r = 0; r < 3; ++r) for (let c = 0; c < 3; ++c) sum += u[r]! * m[3 * r + c]! * u[c]!;
  return sum;
}

/** The largest variance in any direction perpendicular to u: the larger eigenvalue of the remaining 2 × 2 matrix. */
function widestAcross(m: Float64Array, u: readonly [number, number, number]): number {
  const [a, b] = squareTo(u);
  const [aa, bb] = [along(m, a), along(m, b)];
  let ab = 0;
  for (let r = 0; r < 3; ++r) for (let c = 0; c < 3; ++c) ab += a[r]! * m[3 * r + c]! * b[c]!;
  return (aa + bb) / 2 + Math.sqrt(((aa - bb) / 2) ** 2 + ab * ab);
}

type Vec3 = readonly [number, number, number];

function squareTo([x, y, z]: Vec3): [Vec3, Vec3] {
  const helper: Vec3 = Math.abs(x) < 0.6 ? [1, 0, 0] : [0, 1, 0];
  const dot = x * helper[0] + y * helper[1] + z * helper[2];
  const raw: Vec3 = [helper[0] - dot * x, helper[1] - dot * y, helper[2] - dot * z];
  const size = Math.sqrt(raw[0] ** 2 + raw[1] ** 2 + raw[2] ** 2);
  const a: Vec3 = [raw[0] / size, raw[1] / size, raw[2] / size];
  return [a, [y * a[2] - z * a[1], z * a[0] - x * a[2], x * a[1] - y * a[0]]];
}

function stretchArm(
  log: UniformLog,
  speedDps: Float64Array,
  { start, end }: Segment,
  { xx, xy }: NormalEquations,
  p: Float64Array,
): ArmStretch {
  const length = Math.sqrt(p[0]! ** 2 + p[1]! ** 2 + p[2]! ** 2);
  // least squares for one factor on the fitted arm, with the fitted bias
  let [above, below] = [0, 0];
  for (let r = 0; r < 3; ++r) {
    let known = 0;
    for (let c = 3; c < 6; ++c) known += xx[6 * r + c]! * p[c]!;
    above += p[r]! * (xy[r]! - known);
    for (let c = 0; c < 3; ++c) below += p[r]! * xx[6 * r + c]! * p[c]!;
  }
  let peakDps = 0;
  for (let i = start; i < end; ++i) peakDps = Math.max(peakDps, speedDps[i]!);
  return {
    startUs: log.timeUs[start]!,
    endUs: log.timeUs[end - 1]!,
    peakDps,
    leverArmM: below > 0 ? (length * above) / below : 0,
  };
}

function totalSpeed({ gyroXDps, gyroYDps, gyroZDps }: UniformLog, out: Float64Array): Float64Array {
  for (let i = 0; i < out.length; ++i)
    out[i] = Math.sqrt(gyroXDps[i]! ** 2 + gyroYDps[i]! ** 2 + gyroZDps[i]! ** 2);
  return out;
}
