import { estimateBias, removeBias } from '../calibrate/bias.ts';
import type { Calibration } from '../calibration.ts';
import { zeroPhaseLowPass } from '../filter/zeroPhase.ts';
import type { MotionColumns, Segment, UniformLog } from '../log.ts';
import { applyMount } from '../mount.ts';
import { OrientationFilter } from '../orientation/gravityFilter.ts';
import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../units.ts';
import { StillDetector } from './stillMask.ts';

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

/** A swing holds little above 10 Hz; this keeps the peak of one that lasts 0.2 s within 2 %. */
const TRUTH_CUTOFF_HZ = 16;

/** Motion from a log on its uniform grid. Every segment starts anew. */
export function computeMotion(log: UniformLog, calibration: Calibration): Motion {
  const bias = calibration.bias === 'auto' ? estimateBias(log) : calibration.bias;
  const prop = scaled(applyMount(removeBias(log, bias), calibration.mount), calibration.accelScale);
  const length = log.timeUs.length;
  const motion = {
    rateHz: log.rateHz,
    timeUs: log.timeUs,
    segments: log.segments,
    saturated: log.saturated,
    gyroXDps: prop.gyroXDps,
    gyroYDps: prop.gyroYDps,
    gyroZDps: prop.gyroZDps,
    accelXG: prop.accelXG,
    accelYG: prop.accelYG,
    accelZG: prop.accelZG,
    gravityXG: new Float64Array(length),
    gravityYG: new Float64Array(length),
    gravityZG: new Float64Array(length),
    rawThrustG: new Float64Array(length),
    thrustUnsmoothedG: new Float64Array(length),
    trueSpeedDps: new Float64Array(length),
    stillMask: new Uint8Array(length),
  };
  for (const segment of log.segments) {
    followGravity(motion, segment, calibration.leverArmM);
    findTrueSpeed(motion, segment);
  }
  return motion;
}

function scaled(log: UniformLog, factor: number): UniformLog {
  if (factor === 1) return log;
  const times = (values: Float64Array): Float64Array => values.map((value) => value * factor);
  return { ...log, accelXG: times(log.accelXG), accelYG: times(log.accelYG), accelZG: times(log.accelZG) };
}

function followGravity(motion: Motion, { start, end }: Segment, leverArmM: number): void {
  const filter = new OrientationFilter(motion.rateHz, leverArmM);
  const still = new StillDetector(motion.rateHz);
  const pullGPerDps2 = (leverArmM * RAD_PER_DEG * RAD_PER_DEG) / STANDARD_GRAVITY_MPS2;
  for (let i = start; i < end; ++i) {
    const [gx, gy, gz] = [motion.gyroXDps[i]!, motion.gyroYDps[i]!, motion.gyroZDps[i]!];
    const [ax, ay, az] = [motion.accelXG[i]!, motion.accelYG[i]!, motion.accelZG[i]!];
    filter.step(gx, gy, gz, ax, ay, az);
    motion.gravityXG[i] = filter.upX;
    motion.gravityYG[i] = filter.upY;
    motion.gravityZG[i] = filter.upZ;
    motion.rawThrustG[i] = ax - filter.upX;
    motion.thrustUnsmoothedG[i] = ax - filter.upX + pullGPerDps2 * (gy * gy + gz * gz);
    motion.stillMask[i] = still.step(
      Math.sqrt(gx * gx + gy * gy + gz * gz),
      Math.sqrt(ax * ax + ay * ay + az * az),
    )
      ? 1
      : 0;
  }
}

/** The axes are filtered, then joined: the speed itself has a corner at a reversal that a filter would fill. */
function findTrueSpeed(motion: Motion, { start, end }: Segment): void {
  const cutoffHz = Math.min(TRUTH_CUTOFF_HZ, 0.4 * motion.rateHz);
  const y = zeroPhaseLowPass(motion.gyroYDps.subarray(start, end), cutoffHz, motion.rateHz);
  const z = zeroPhaseLowPass(motion.gyroZDps.subarray(start, end), cutoffHz, motion.rateHz);
  for (let i = 0; i < y.length; ++i)
    motion.trueSpeedDps[start + i] = Math.sqrt(y[i]! * y[i]! + z[i]! * z[i]!);
}
