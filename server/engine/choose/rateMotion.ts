import type { UniformLog } from '../base/log.ts';
import { estimateBias } from '../calibrate/bias.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import type { Motion } from '../motion/motion.ts';
import { toPropFrame } from '../motion/propFrame.ts';
import type { Signals } from '../motion/signals.ts';
import { SwingSpeed } from '../motion/swingSpeed.ts';
import { computeTrueSpeed } from '../motion/trueSpeed.ts';
import type { SmoothingSettings } from '../settings/candidate.ts';

const NONE = new Float64Array(0);
const NO_FLAGS = new Uint8Array(0);

/**
 * What guard, deflection and truth rest on: the rates and the true speed, as `computeMotion` gives them, at a fifth of
 * its cost. Columns of gravity and thrust are empty: a sweep over a hundred takes must not pay for them.
 */
export function computeRateMotion(log: UniformLog, calibration: Calibration): Motion {
  const bias = calibration.bias === 'auto' ? estimateBias(log) : calibration.bias;
  const noForce = { accelXG: NONE, accelYG: NONE, accelZG: NONE };
  const { gyroXDps, gyroYDps, gyroZDps } = toPropFrame({ ...log, ...noForce }, bias, calibration);
  const { rateHz, timeUs, segments, saturated } = log;
  return {
    rateHz,
    timeUs,
    segments,
    saturated,
    gyroXDps,
    gyroYDps,
    gyroZDps,
    ...noForce,
    gravityXG: NONE,
    gravityYG: NONE,
    gravityZG: NONE,
    rawThrustG: NONE,
    thrustUnsmoothedG: NONE,
    trueSpeedDps: computeTrueSpeed(gyroYDps, gyroZDps, segments, rateHz),
    stillMask: NO_FLAGS,
  };
}

/**
 * Signals that hold the swing speed and nothing else: enough for guard and deflection.
 * @param out  becomes the swing speed; as long as the take.
 */
export function speedSignals(
  motion: Pick<
    Motion,
    'rateHz' | 'timeUs' | 'segments' | 'saturated' | 'trueSpeedDps' | 'gyroYDps' | 'gyroZDps'
  >,
  smoothing: SmoothingSettings,
  out: Float64Array = new Float64Array(motion.timeUs.length),
): Signals {
  const { rateHz, timeUs, segments, saturated, trueSpeedDps, gyroYDps, gyroZDps } = motion;
  const swingSpeedDps = out;
  const speed = new SwingSpeed(smoothing, rateHz);
  for (const { start, end } of segments) {
    speed.reset();
    const [y, z] = [gyroYDps.subarray(start, end), gyroZDps.subarray(start, end)];
    speed.run(y, z, swingSpeedDps.subarray(start, end));
  }
  return {
    rateHz,
    timeUs,
    segments,
    saturated,
    swingSpeedDps,
    trueSpeedDps,
    thrustG: NONE,
    twistRateDps: NONE,
    twistDeg: NONE,
    swingTwistDeg: NONE,
    twistStarts: NO_FLAGS,
    impactG: NONE,
    warnings: [],
  };
}
