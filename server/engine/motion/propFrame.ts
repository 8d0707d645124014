import type { MotionColumns, UniformLog } from '../base/log.ts';
import { isIdentityMatrix, mountMatrix, turnColumns } from '../base/mount.ts';
import { type BiasTrack, takeOffBias } from '../calibrate/bias.ts';
import type { Calibration } from '../calibrate/calibration.ts';

/**
 * A log's rates and forces in the prop frame: bias removed, accelerometer scaled, mount applied. Columns that nothing
 * changes are the log's own.
 * @param bias  in the log's own frame.
 */
export function toPropFrame(
  log: UniformLog,
  bias: BiasTrack,
  { mount, accelScale }: Pick<Calibration, 'mount' | 'accelScale'>,
): MotionColumns {
  const matrix = mountMatrix(mount);
  const isTurned = !isIdentityMatrix(matrix);
  let gyro = [log.gyroXDps, log.gyroYDps, log.gyroZDps] as const;
  let accel = [log.accelXG, log.accelYG, log.accelZG] as const;
  if (isTurned || bias.knots.length > 0) {
    gyro = turnColumns(matrix, ...gyro);
    takeOffBias(gyro, log.timeUs, turnBias(bias, matrix));
  }
  if (isTurned || accelScale !== 1)
    accel = turnColumns(
      matrix.map((part) => part * accelScale),
      ...accel,
    );
  return {
    gyroXDps: gyro[0],
    gyroYDps: gyro[1],
    gyroZDps: gyro[2],
    accelXG: accel[0],
    accelYG: accel[1],
    accelZG: accel[2],
  };
}

function turnBias({ knots }: BiasTrack, m: Float64Array): BiasTrack {
  return {
    knots: knots.map(({ timeUs, xDps, yDps, zDps }) => {
      const row = (k: number): number => m[k]! * xDps + m[k + 1]! * yDps + m[k + 2]! * zDps;
      return { timeUs, xDps: row(0), yDps: row(3), zDps: row(6) };
    }),
  };
}
