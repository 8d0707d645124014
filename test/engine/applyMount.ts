import type { MotionColumns } from '../../server/engine/base/log.ts';
import { type Mount, mountMatrix, turnColumns } from '../../server/engine/base/mount.ts';

/** Rates and forces turned from the sensor's frame into the prop's; everything else of the log stays as it is. */
export function applyMount<T extends MotionColumns>(log: T, mount: Mount): T {
  const m = mountMatrix(mount);
  const gyro = turnColumns(m, log.gyroXDps, log.gyroYDps, log.gyroZDps);
  const accel = turnColumns(m, log.accelXG, log.accelYG, log.accelZG);
  return {
    ...log,
    gyroXDps: gyro[0],
    gyroYDps: gyro[1],
    gyroZDps: gyro[2],
    accelXG: accel[0],
    accelYG: accel[1],
    accelZG: accel[2],
  };
}
