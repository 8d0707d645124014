import type { MotionLog } from '../base/log.ts';
import type { Line } from './line.ts';
import { RATE_LEAST_HZ } from './rate.ts';

/** Below this a coarse sensor may repeat a value by itself. */
const MOVING_DPS = 30;
const PAIRS_LEAST = 50;
/** With more than one repeat in twenty the sensor is slower than the log. */
const REPEAT_GOOD_SHARE = 0.05;

/**
 * Share of samples in which a sensor's three values repeat those of the row before, while the prop turns; null where it
 * hardly does.
 */
interface RepeatShares {
  readonly gyro: number;
  readonly accel: number;
}

export function measureRepeats(log: MotionLog): RepeatShares | null {
  const { gyroXDps: gx, gyroYDps: gy, gyroZDps: gz, accelXG: ax, accelYG: ay, accelZG: az } = log;
  let pairs = 0;
  let gyro = 0;
  let accel = 0;
  for (let i = 1; i < gx.length; ++i) {
    if (!(gx[i]! * gx[i]! + gy[i]! * gy[i]! + gz[i]! * gz[i]! > MOVING_DPS * MOVING_DPS)) continue;
    ++pairs;
    if (gx[i] === gx[i - 1] && gy[i] === gy[i - 1] && gz[i] === gz[i - 1]) ++gyro;
    if (ax[i] === ax[i - 1] && ay[i] === ay[i - 1] && az[i] === az[i - 1]) ++accel;
  }
  return pairs < PAIRS_LEAST ? null : { gyro: gyro / pairs, accel: accel / pairs };
}

/** A sensor slower than its log fills it with repeated values. */
export interface RepeatsLine extends Line<'repeats'> {
  readonly rateHz: number;
  readonly shares: RepeatShares | null;
  readonly slow: readonly (keyof RepeatShares)[];
}

export function checkRepeats(shares: RepeatShares | null, rateHz: number): RepeatsLine {
  const slow = (['gyro', 'accel'] as const).filter((sensor) => shares && shares[sensor] > REPEAT_GOOD_SHARE);
  const isTooSlow = shares !== null && rateHz * (1 - shares.gyro) < RATE_LEAST_HZ;
  const state = slow.length === 0 ? 'pass' : isTooSlow ? 'fail' : 'caution';
  return { id: 'repeats', state, rateHz, shares, slow };
}
