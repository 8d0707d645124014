import type { Press, UniformLog } from '../base/log.ts';
import { mountMatrix } from '../base/mount.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { BladeFollower } from '../motion/bladeFollower.ts';
import type { CandidateMotion } from '../motion/motion.ts';
import { forceInPropFrame } from '../motion/propFrame.ts';
import { computeTwist, type Twist, type TwistStart } from '../motion/twist.ts';
import { RestBias } from '../prop/restBias.ts';

/** What a prop's twist and dial go by. Arrays are as long as the take's grid. */
export interface RollOnProp {
  /** Rate about the blade. */
  readonly gyroXDps: Float64Array;
  /** 1 where the prop has been still for half a second. */
  readonly stillMask: Uint8Array;
}

/**
 * The rate about the blade as a prop comes to it that finds its gyro's bias at rests: it knows of none that is still to
 * come. Added up to an angle, a tenth of a degree a second shows: whoever compares a prop's twist or dial with the bench
 * takes this for both.
 * @param hasBias  whether it takes a bias off at all
 */
export function rollOnProp(log: UniformLog, calibration: Calibration, hasBias = true): RollOnProp {
  const m = mountMatrix(calibration.mount);
  const force = forceInPropFrame(log, calibration);
  const bias = new RestBias(log.rateHz);
  const blade = new BladeFollower(log.rateHz, calibration.leverArmM);
  const gyroXDps = new Float64Array(log.timeUs.length);
  const stillMask = new Uint8Array(log.timeUs.length);
  const row = (k: number, x: number, y: number, z: number) => m[k]! * x + m[k + 1]! * y + m[k + 2]! * z;
  for (const { start, end } of log.segments) {
    bias.reset();
    blade.reset();
    for (let i = start; i < end; ++i) {
      let [x, y, z] = [log.gyroXDps[i]!, log.gyroYDps[i]!, log.gyroZDps[i]!];
      if (hasBias) bias.step(x, y, z, log.accelXG[i]!, log.accelYG[i]!, log.accelZG[i]!);
      [x, y, z] = [x - bias.xDps, y - bias.yDps, z - bias.zDps];
      gyroXDps[i] = row(0, x, y, z);
      const { accelXG, accelYG, accelZG } = force;
      blade.step(gyroXDps[i]!, row(3, x, y, z), row(6, x, y, z), accelXG[i]!, accelYG[i]!, accelZG[i]!);
      stillMask[i] = blade.isStill ? 1 : 0;
    }
  }
  return { gyroXDps, stillMask };
}

/** The angle that such a prop comes to: it takes the place of the bench's in a candidate's signals. */
export function twistOnProp(
  motion: CandidateMotion,
  roll: RollOnProp,
  startAt: TwistStart,
  presses: readonly Press[],
): Twist {
  return computeTwist({ ...motion, ...roll }, startAt, presses);
}
