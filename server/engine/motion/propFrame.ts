import type { ForceColumns, RateColumns, UniformLog } from '../base/log.ts';
import { isIdentityMatrix, type Mount, mountMatrix, turnColumns } from '../base/mount.ts';
import { type BiasTrack, takeOffBias } from '../calibrate/bias.ts';
import type { Calibration } from '../calibrate/calibration.ts';

/**
 * A log's rates in the prop frame, bias removed. Columns that nothing changes are the log's own.
 * @param bias  in the log's own frame.
 * @param outs  three columns to write to, none of them one of the rates; fresh ones by default
 */
export function ratesInPropFrame(
  log: RateColumns & Pick<UniformLog, 'timeUs'>,
  bias: BiasTrack,
  mount: Mount,
  outs?: readonly Float64Array[],
): RateColumns {
  const matrix = mountMatrix(mount);
  const { gyroXDps, gyroYDps, gyroZDps } = log;
  if (isIdentityMatrix(matrix) && bias.knots.length === 0) return { gyroXDps, gyroYDps, gyroZDps };
  const turned = turnColumns(matrix, gyroXDps, gyroYDps, gyroZDps, outs);
  takeOffBias(turned, log.timeUs, turnBias(bias, matrix));
  return { gyroXDps: turned[0], gyroYDps: turned[1], gyroZDps: turned[2] };
}

/** Its specific force in the prop frame, scaled. Columns that nothing changes are the log's own. */
export function forceInPropFrame(
  { accelXG, accelYG, accelZG }: ForceColumns,
  { mount, accelScale }: Pick<Calibration, 'mount' | 'accelScale'>,
): ForceColumns {
  const matrix = mountMatrix(mount);
  if (isIdentityMatrix(matrix) && accelScale === 1) return { accelXG, accelYG, accelZG };
  const scaled = matrix.map((part) => part * accelScale);
  const turned = turnColumns(scaled, accelXG, accelYG, accelZG);
  return { accelXG: turned[0], accelYG: turned[1], accelZG: turned[2] };
}

function turnBias({ knots }: BiasTrack, m: Float64Array): BiasTrack {
  return {
    knots: knots.map(({ timeUs, xDps, yDps, zDps }) => {
      const row = (k: number): number => m[k]! * xDps + m[k + 1]! * yDps + m[k + 2]! * zDps;
      return { timeUs, xDps: row(0), yDps: row(3), zDps: row(6) };
    }),
  };
}
