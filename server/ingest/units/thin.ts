import type { Vector3Columns } from '../ground/rest.ts';
import { nominalStep } from '../ground/steps.ts';

/** Rows of a log, several joined into one. */
interface ThinRows {
  readonly timeUs: Float64Array;
  readonly accel: Vector3Columns;
  readonly gyro: Vector3Columns;
}

/** Long enough to calm tremor and noise, short beside a turn of the hand. */
const BLOCK_US = 30_000;

/** Means over blocks of about 30 ms. A block that a hole in the log runs through holds NaN. */
export function thinRows(timeUs: Float64Array, accel: Vector3Columns, gyro: Vector3Columns): ThinRows {
  const stepUs = nominalStep(timeUs);
  const rows = Math.max(1, Math.round(BLOCK_US / stepUs));
  if (!(rows > 1)) return { timeUs, accel, gyro };
  const count = Math.floor(timeUs.length / rows);
  const isWhole = Array.from(
    { length: count },
    (_, k) => timeUs[k * rows + rows - 1]! - timeUs[k * rows]! < 2 * rows * stepUs,
  );
  const thin = (values: Float64Array) => {
    const means = new Float64Array(count);
    for (let k = 0; k < count; ++k) means[k] = isWhole[k] ? meanOf(values, k * rows, rows) : Number.NaN;
    return means;
  };
  const thinVector = ({ x, y, z }: Vector3Columns) => ({ x: thin(x), y: thin(y), z: thin(z) });
  const blockUs = new Float64Array(count);
  for (let k = 0; k < count; ++k) blockUs[k] = meanOf(timeUs, k * rows, rows);
  return { timeUs: blockUs, accel: thinVector(accel), gyro: thinVector(gyro) };
}

function meanOf(values: Float64Array, from: number, rows: number): number {
  let sum = 0;
  for (let i = from; i < from + rows; ++i) sum += values[i]!;
  return sum / rows;
}
