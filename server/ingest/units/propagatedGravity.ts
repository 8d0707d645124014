import type { GravityTest } from '../../engine/calibrate/gravityTest.ts';
import { testGravityOf } from '../../engine/check/gravityData.ts';
import type { Vector3Columns } from '../ground/rest.ts';

/** Enough rows to tell: over an hour at the rates of common logs. */
const ROWS_AT_MOST = 1_000_000;

/**
 * What Signal check will find of gravity, carried by the rates over seconds on end: it tells the unit in logs that turn
 * too fast for `turnScale`, and takes longer.
 * @param accel  in any unit. @param restNorm  its magnitude at rest, taken for 1 g
 * @param gyro  in any unit. @param dpsPerUnit  what one unit of it is taken for, deg/s
 */
export function propagateGravity(
  timeUs: Float64Array,
  accel: Vector3Columns,
  restNorm: number,
  gyro: Vector3Columns,
  dpsPerUnit: number,
): GravityTest {
  const times = (values: Float64Array, by: number) => {
    const first = values.subarray(0, ROWS_AT_MOST);
    return by === 1 ? first : first.map((value) => value * by);
  };
  return testGravityOf({
    timeUs: timeUs.subarray(0, ROWS_AT_MOST),
    gyroXDps: times(gyro.x, dpsPerUnit),
    gyroYDps: times(gyro.y, dpsPerUnit),
    gyroZDps: times(gyro.z, dpsPerUnit),
    accelXG: times(accel.x, 1 / restNorm),
    accelYG: times(accel.y, 1 / restNorm),
    accelZG: times(accel.z, 1 / restNorm),
  });
}
