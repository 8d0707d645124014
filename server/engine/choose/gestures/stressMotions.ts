import { MOTION_COLUMNS, type MotionColumns } from '../../base/log.ts';
import { DEFAULT_CALIBRATION } from '../../calibrate/calibration.ts';
import { computeMotion, type Motion } from '../../motion/motion.ts';
import { atHalfRate, type ColumnStress, stressed } from '../stressedColumns.ts';
import type { GestureMapKind } from './maps.ts';

/** Something that may differ from the day of the recording. */
export type GestureStress = Exclude<ColumnStress, 'rateNoise'> | 'arm' | 'halfRate';

/** A twist rests on rates alone, and no turn of the sensor changes how strong a blow is. */
export const GESTURE_STRESSES: Readonly<Record<GestureMapKind, readonly GestureStress[]>> = {
  stab: ['gyroMore', 'gyroLess', 'forceMore', 'forceLess', 'mount', 'bias', 'arm', 'halfRate', 'noise'],
  impact: ['gyroMore', 'gyroLess', 'forceMore', 'forceLess', 'halfRate', 'noise'],
  twist: ['gyroMore', 'gyroLess', 'mount', 'bias', 'halfRate', 'noise'],
};

const ARM_M = 0.02;

/** About the blade both ways, for a twist adds it up; across it once each. */
const BIASES = [
  [1, 0, 0],
  [-1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/**
 * A take's whole motion as it would have been under a stress, one for each variant of it (each direction of a mount
 * error, say). Each is computed anew, from the sensor's side: gravity, thrust and rest follow.
 */
export function motionsUnder(
  stress: GestureStress,
  motion: Motion,
  leverArmM: number,
): readonly (() => Motion)[] {
  const room = (_name: string, length: number) => new Float64Array(length);
  switch (stress) {
    case 'arm':
      return [-ARM_M, ARM_M].map((by) => () => computed(motion, leverArmM + by));
    case 'halfRate':
      return [0, 1].map(
        (first) => () => computed(atHalfRate(motion, MOTION_COLUMNS, first, room), leverArmM),
      );
    default:
      return stressed(stress, motion, MOTION_COLUMNS, BIASES, room).map(
        (make) => () => computed(make(), leverArmM),
      );
  }
}

/** From rates and forces as a sensor gives them that sits along the prop's axes and has no bias left. */
function computed(
  log: MotionColumns & Pick<Motion, 'rateHz' | 'timeUs' | 'segments' | 'saturated'>,
  leverArmM: number,
): Motion {
  const { rateHz, timeUs, segments, saturated } = log;
  const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = log;
  const columns = { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG };
  return computeMotion(
    { rateHz, stepUs: 1e6 / rateHz, timeUs, segments, saturated, ...columns },
    { ...DEFAULT_CALIBRATION, bias: { knots: [] }, leverArmM },
  );
}
