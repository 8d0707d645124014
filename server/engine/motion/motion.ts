import type { MotionColumns, Segment, UniformLog } from '../base/log.ts';
import { estimateBias } from '../calibrate/bias.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import { BladeFollower } from './bladeFollower.ts';
import { toPropFrame } from './propFrame.ts';
import { computeTrueSpeed } from './trueSpeed.ts';

/** A take's motion in the prop frame: all that no candidate changes. Arrays are as long as `timeUs`. */
export interface Motion extends MotionColumns {
  readonly rateHz: number;
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
  readonly saturated: Uint8Array;
  /** The specific force at rest: a unit vector, pointing up. */
  readonly gravityXG: Float64Array;
  readonly gravityYG: Float64Array;
  readonly gravityZG: Float64Array;
  /** Force along the blade less gravity; a swing's own pull is still in it. */
  readonly rawThrustG: Float64Array;
  /** The same with the pull at the lever arm removed. */
  readonly thrustUnsmoothedG: Float64Array;
  /** Swing speed without noise and without delay: for finding the truth, not causal. */
  readonly trueSpeedDps: Float64Array;
  /** 1 where the prop has been still for half a second. */
  readonly stillMask: Uint8Array;
}

/** Motion from a log on its uniform grid. Every segment starts anew. */
export function computeMotion(log: UniformLog, calibration: Calibration): Motion {
  const bias = calibration.bias === 'auto' ? estimateBias(log) : calibration.bias;
  const prop = toPropFrame(log, bias, calibration);
  const { rateHz, timeUs, segments, saturated } = log;
  return {
    rateHz,
    timeUs,
    segments,
    saturated,
    ...prop,
    ...followBlade(prop, segments, rateHz, calibration.leverArmM),
    trueSpeedDps: computeTrueSpeed(prop.gyroYDps, prop.gyroZDps, segments, rateHz),
  };
}

type Followed = Pick<
  Motion,
  'gravityXG' | 'gravityYG' | 'gravityZG' | 'rawThrustG' | 'thrustUnsmoothedG' | 'stillMask'
>;

function followBlade(
  { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG }: MotionColumns,
  segments: readonly Segment[],
  rateHz: number,
  leverArmM: number,
): Followed {
  const { length } = gyroXDps;
  const gravityXG = new Float64Array(length);
  const gravityYG = new Float64Array(length);
  const gravityZG = new Float64Array(length);
  const rawThrustG = new Float64Array(length);
  const thrustUnsmoothedG = new Float64Array(length);
  const stillMask = new Uint8Array(length);
  const blade = new BladeFollower(rateHz, leverArmM);
  for (const { start, end } of segments) {
    blade.reset();
    for (let i = start; i < end; ++i) {
      blade.step(gyroXDps[i]!, gyroYDps[i]!, gyroZDps[i]!, accelXG[i]!, accelYG[i]!, accelZG[i]!);
      gravityXG[i] = blade.upX;
      gravityYG[i] = blade.upY;
      gravityZG[i] = blade.upZ;
      rawThrustG[i] = blade.rawThrustG;
      thrustUnsmoothedG[i] = blade.thrustG;
      stillMask[i] = blade.isStill ? 1 : 0;
    }
  }
  return { gravityXG, gravityYG, gravityZG, rawThrustG, thrustUnsmoothedG, stillMask };
}
