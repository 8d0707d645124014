import type { RestLevel, Vector3Columns } from '../ground/rest.ts';
import { thinRows } from './thin.ts';

/** How gravity's turning in the accelerometer compares with the gyroscope's columns as they stand in the file. */
export interface TurnScale {
  /** deg/s that one unit of the gyroscope's columns stands for. Negative where an axis is mirrored or swapped. */
  readonly degPerUnit: number;
  /** Share of the turning that agrees with it within a fifth, 0 to 1. */
  readonly agreement: number;
  readonly windows: number;
}

/** An agreement from which on the turning tells something. */
export const GOOD_FIT = 0.65;

/** A window ends when the direction of f has turned this far (rad), ... */
const TURN_RAD = 0.2;
/** ... or after this time. */
const WINDOW_US = 400_000;
/** Turning faster than this, the sensor's own path around the hand pulls as much as gravity: such windows are left out. */
const WINDOW_AT_LEAST_US = 150_000;
/** |f| may differ from its resting value by this share: more means that the hand accelerates. */
const NEAR_REST = 0.2;
/** Within one window, |f| may change by this share. */
const STEADY = 0.06;
const AGREES = 0.2;
/** Cosine of the angle between predicted and measured turning. */
const SAME_WAY = 0.9;
const WINDOWS_AT_LEAST = 5;

/**
 * Finds s in dĝ/dt = −s·ω × ĝ, ĝ being the direction of f, over windows in which |f| is steady and near its resting
 * value: the median of the windows' own slopes, each weighted by how far gravity turns, which a minority of windows with
 * a moving hand cannot bend. Only directions of f count, so the accelerometer's unit need not be known. null where
 * too little turns.
 * Source: time derivative of a fixed direction seen from a rotating frame.
 */
export function turnScale(
  timeUs: Float64Array,
  accel: Vector3Columns,
  gyro: Vector3Columns,
  accelRest: RestLevel,
  gyroRest: RestLevel,
): TurnScale | null {
  const thin = thinRows(timeUs, accel, gyro);
  const windows = collectWindows(thin.timeUs, thin.accel, thin.gyro, accelRest, gyroRest);
  const turning = windows.filter(({ turned }) => turned >= TURN_RAD).length;
  if (turning < WINDOWS_AT_LEAST) return null;
  windows.sort((a, b) => a.slope - b.slope);
  const total = windows.reduce((sum, { weight }) => sum + weight, 0);
  let before = 0;
  const middle = windows.find(({ weight }) => {
    before += weight;
    return before >= total / 2;
  });
  if (!middle || !(total > 0)) return null;
  const { slope } = middle;
  const near = windows.filter(
    (own) => own.cosine >= SAME_WAY && Math.abs(own.slope - slope) <= AGREES * Math.abs(slope),
  );
  const agreement = near.reduce((sum, { weight }) => sum + weight, 0) / total;
  return { degPerUnit: (slope * 180) / Math.PI, agreement, windows: windows.length };
}

interface Window {
  /** rad/s to the unit that fits this window best. */
  readonly slope: number;
  /** Turning of the direction of f (rad) times what the rates predict at one rad/s to the unit. */
  readonly weight: number;
  /** Turning of the direction of f, rad. */
  readonly turned: number;
  /** Cosine of the angle between predicted and measured turning. */
  readonly cosine: number;
}

function collectWindows(
  timeUs: Float64Array,
  accel: Vector3Columns,
  gyro: Vector3Columns,
  accelRest: RestLevel,
  gyroRest: RestLevel,
): Window[] {
  const windows: Window[] = [];
  const n = timeUs.length;
  for (let from = 0; from + 1 < n; ) {
    const { to, isWhole } = windowFrom(timeUs, accel, from, accelRest.norm);
    const isSlow = timeUs[to]! - timeUs[from]! >= WINDOW_AT_LEAST_US;
    if (isWhole && isSlow) windows.push(measure(timeUs, accel, gyro, gyroRest.mean, from, to));
    from = Math.max(to, from + 1);
  }
  return windows.filter(({ slope, weight }) => weight > 0 && Number.isFinite(slope));
}

/** The window from `from`: to where it is complete, or (not whole) to where |f| wanders or the log has a hole. */
function windowFrom(
  timeUs: Float64Array,
  f: Vector3Columns,
  from: number,
  norm: number,
): { to: number; isWhole: boolean } {
  const first = size(f, from);
  const isCalm = Math.abs(first / norm - 1) <= NEAR_REST;
  const turned = Math.cos(TURN_RAD);
  let to = from + 1;
  for (; isCalm && to < timeUs.length; ++to) {
    const now = size(f, to);
    if (!(Math.abs(now / first - 1) <= STEADY) || timeUs[to]! - timeUs[to - 1]! > WINDOW_US) break;
    const dot = (f.x[from]! * f.x[to]! + f.y[from]! * f.y[to]! + f.z[from]! * f.z[to]!) / (first * now);
    if (dot <= turned || timeUs[to]! - timeUs[from]! >= WINDOW_US) return { to, isWhole: true };
  }
  return { to: Math.min(to, timeUs.length - 1), isWhole: false };
}

function measure(
  timeUs: Float64Array,
  f: Vector3Columns,
  gyro: Vector3Columns,
  bias: readonly [number, number, number],
  from: number,
  to: number,
): Window {
  const turn = [0, 0, 0];
  for (let i = from; i < to; ++i) {
    const half = (timeUs[i + 1]! - timeUs[i]!) * 0.5e-6;
    turn[0]! += half * (gyro.x[i]! + gyro.x[i + 1]! - 2 * bias[0]);
    turn[1]! += half * (gyro.y[i]! + gyro.y[i + 1]! - 2 * bias[1]);
    turn[2]! += half * (gyro.z[i]! + gyro.z[i + 1]! - 2 * bias[2]);
  }
  const a = direction(f, from);
  const b = direction(f, to);
  const mid = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2] as const;
  const px = turn[2]! * mid[1] - turn[1]! * mid[2];
  const py = turn[0]! * mid[2] - turn[2]! * mid[0];
  const pz = turn[1]! * mid[0] - turn[0]! * mid[1];
  const [dx, dy, dz] = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const measured = dx * dx + dy * dy + dz * dz;
  const predicted = px * px + py * py + pz * pz;
  const cross = px * dx + py * dy + pz * dz;
  const weight = Math.sqrt(predicted * measured);
  return { slope: cross / predicted, weight, turned: Math.sqrt(measured), cosine: Math.abs(cross) / weight };
}

function direction(f: Vector3Columns, i: number): readonly [number, number, number] {
  const length = size(f, i);
  return [f.x[i]! / length, f.y[i]! / length, f.z[i]! / length];
}

function size(f: Vector3Columns, i: number): number {
  return Math.sqrt(f.x[i]! * f.x[i]! + f.y[i]! * f.y[i]! + f.z[i]! * f.z[i]!);
}
