import type { RestLevel, Vector3Columns } from './rest.ts';

/** How gravity's turning in the accelerometer compares with the gyroscope's columns as they stand in the file. */
export interface TurnScale {
  /** deg/s that one unit of the gyroscope's columns stands for. Negative where an axis is mirrored or swapped. */
  readonly degPerUnit: number;
  /** Share of the turning that the fit explains, 0 to 1. */
  readonly fit: number;
  readonly windows: number;
}

const WINDOW_US = 80_000;
/** |f| may differ from its resting value by this share: more means that the hand accelerates. */
const NEAR_REST = 0.1;
const TURNING_SHARE = 0.3;
const WINDOWS_AT_LEAST = 12;

/**
 * Fits s in dĝ/dt = −s·ω × ĝ over windows of 80 ms in which |f| stays near its resting value, ĝ being the direction
 * of f. Only directions of f count, so the accelerometer's unit need not be known. null where too little turns.
 * Source: time derivative of a fixed direction seen from a rotating frame.
 */
export function turnScale(
  timeUs: Float64Array,
  accel: Vector3Columns,
  gyro: Vector3Columns,
  accelRest: RestLevel,
  gyroRest: RestLevel,
): TurnScale | null {
  const windows = collectWindows(timeUs, accel, gyro, accelRest, gyroRest);
  windows.sort((a, b) => b.predicted - a.predicted);
  const used = windows.slice(0, Math.max(WINDOWS_AT_LEAST, Math.ceil(windows.length * TURNING_SHARE)));
  if (used.length < WINDOWS_AT_LEAST) return null;
  let cross = 0;
  let predicted = 0;
  let measured = 0;
  for (const window of used) {
    cross += window.cross;
    predicted += window.predicted;
    measured += window.measured;
  }
  if (!(predicted > 0 && measured > 0)) return null;
  // Below about 1 degree a window, noise in the direction of f drowns the turning.
  if (measured / used.length < (1 / 57.3) ** 2) return null;
  const fit = (cross * cross) / (predicted * measured);
  return { degPerUnit: ((cross / predicted) * 180) / Math.PI, fit, windows: used.length };
}

/** Sums over one window: predicted², measured², and predicted · measured (rad, at one rad/s to the unit). */
interface Window {
  readonly predicted: number;
  readonly measured: number;
  readonly cross: number;
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
    let to = from + 1;
    while (to + 1 < n && timeUs[to]! - timeUs[from]! < WINDOW_US) ++to;
    const isWhole = timeUs[to]! - timeUs[from]! < 2 * WINDOW_US;
    if (isWhole && staysNear(accel, from, to, accelRest.norm)) {
      windows.push(measure(timeUs, accel, gyro, gyroRest.mean, from, to));
    }
    from = to;
  }
  return windows;
}

function staysNear(f: Vector3Columns, from: number, to: number, norm: number): boolean {
  for (let i = from; i <= to; ++i) {
    const size = Math.sqrt(f.x[i]! * f.x[i]! + f.y[i]! * f.y[i]! + f.z[i]! * f.z[i]!);
    if (!(Math.abs(size / norm - 1) <= NEAR_REST)) return false;
  }
  return true;
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
  return {
    predicted: px * px + py * py + pz * pz,
    measured: dx * dx + dy * dy + dz * dz,
    cross: px * dx + py * dy + pz * dz,
  };
}

function direction(f: Vector3Columns, i: number): readonly [number, number, number] {
  const size = Math.sqrt(f.x[i]! * f.x[i]! + f.y[i]! * f.y[i]! + f.z[i]! * f.z[i]!);
  return [f.x[i]! / size, f.y[i]! / size, f.z[i]! / size];
}
