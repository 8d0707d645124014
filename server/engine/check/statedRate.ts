import type { MotionLog } from '../base/log.ts';
import type { GravityTest } from '../calibrate/gravityTest.ts';
import { testGravityOf } from './gravityData.ts';

/** What gravity says of a rate that somebody stated for a log without stamps. */
export type RateFinding =
  | { readonly kind: 'fits'; readonly statedHz: number; readonly offShare: number }
  /** Gravity stays where it is at another rate, and at the stated one it does not. */
  | { readonly kind: 'misfits'; readonly statedHz: number; readonly fittingHz: number };

/** Rows that are looked at: a part of the motion tells as much as all of it. */
const ROWS_AT_MOST = 30_000;
/** A rate is typed from memory: a half, a double, another sensor's. From each of these a few steps lead on. */
const FACTORS = [1, 1 / 2, 2, 1 / 4, 4, 1 / 8, 8] as const;
const STEPS_AT_MOST = 4;
/** The gyro's own scale is off by as much, and a stated 100 Hz may be 104. */
const FITS_WITHIN = 0.05;
/** What a fit has come to rest at. */
const SETTLED = 0.01;

/**
 * Tries a stated rate by gravity. A turn's angle is its rate times its time: at a wrong sample rate the turns of the gyro
 * do not take gravity to where the accelerometer finds it, at the right one they do. So does a wrong scale of the gyro at
 * another rate: who reads this must name both.
 * @param log  sensor frame, with times that come from `statedHz` alone
 * @returns null where the motion does not tell, as without slow turns or without gravity
 */
export function judgeStatedRate(log: MotionLog, statedHz: number): RateFinding | null {
  const part = firstRows(log);
  for (const factor of FACTORS) {
    const found = settle(part, factor);
    if (found === null) continue;
    const offShare = Math.abs(found - 1);
    return offShare <= FITS_WITHIN
      ? { kind: 'fits', statedHz, offShare }
      : { kind: 'misfits', statedHz, fittingHz: statedHz * found };
  }
  return null;
}

/** The factor of the rate, near the given one, at which gravity stays where it is; null for none. */
function settle(log: MotionLog, from: number): number | null {
  let factor = from;
  for (let step = 0; step < STEPS_AT_MOST; ++step) {
    const test = testGravityOf(atRate(log, factor));
    const slope = commonSlope(test);
    if (slope === null) return null;
    if (test.verdict === 'ok' && Math.abs(slope - 1) <= SETTLED) return factor;
    // Rates that ought to be twice as large are as good as twice the time between rows.
    factor /= slope;
  }
  return null;
}

/** The gyro's scale where gravity tells one; null where the sensors disagree in another way, or nothing is told. */
function commonSlope({ verdict, slope, axes }: GravityTest): number | null {
  if (verdict === 'ok' || verdict === 'unit') return slope;
  if (verdict !== 'scale') return null;
  const slopes = axes.flatMap((axis) => axis.slope?.slope ?? []);
  return slope ?? (slopes.length > 0 ? slopes.reduce((sum, one) => sum + one, 0) / slopes.length : null);
}

function firstRows(log: MotionLog): MotionLog {
  const cut = (column: Float64Array): Float64Array => column.subarray(0, ROWS_AT_MOST);
  return {
    timeUs: cut(log.timeUs),
    accelXG: cut(log.accelXG),
    accelYG: cut(log.accelYG),
    accelZG: cut(log.accelZG),
    gyroXDps: cut(log.gyroXDps),
    gyroYDps: cut(log.gyroYDps),
    gyroZDps: cut(log.gyroZDps),
  };
}

/** The log with its rows that many times as often. */
function atRate(log: MotionLog, factor: number): MotionLog {
  return { ...log, timeUs: log.timeUs.map((us) => Math.round(us / factor)) };
}
