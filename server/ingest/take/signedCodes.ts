import { upperMedian } from '../../engine/statistics/sorted.ts';
import type { Mended } from '../ground/mended.ts';

const WIDTHS = [8, 12, 16, 20, 24, 32] as const;

/**
 * Codes of a two's complement sensor that were printed without their sign (65535 for -1), or shifted by half their
 * range (32768 for 0), get their sign back, in place. Whole numbers are taken for such where none is negative, some
 * stand in the upper half of a common width, and the rates at rest stand at the ends of the range or in its middle.
 * Returns what was done; null for nothing.
 * @param gyro  x, y and z; or none
 * @param accel  the same
 */
export function restoreSigns(gyro: readonly Float64Array[], accel: readonly Float64Array[]): Mended | null {
  const all = [...gyro, ...accel];
  const bits = gyro.length === 3 ? widthOf(all) : null;
  if (bits === null) return null;
  const range = 2 ** bits;
  const half = range / 2;
  const near = gyro.map((values) => middlePlace(values, half));
  const isShifted = near.every((place) => place < 0.1);
  const isUnsigned = near.every((place) => place > 0.8) && gyro.some((values) => leaps(values, half));
  if (!isShifted && !isUnsigned) return null;
  for (const values of all) {
    for (let i = 0; i < values.length; ++i) {
      if (isShifted) values[i]! -= half;
      else if (values[i]! >= half) values[i]! -= range;
    }
  }
  return isShifted ? { kind: 'shiftedCodes', by: half } : { kind: 'unsignedCodes', bits };
}

/** The narrowest common width that holds all values and uses its upper half; null where there is none. */
export function widthOf(columns: readonly Float64Array[]): number | null {
  let highest = 0;
  for (const values of columns) {
    for (let i = 0; i < values.length; ++i) {
      const value = values[i]!;
      if (value < 0 || !Number.isInteger(value)) return null;
      if (value > highest) highest = value;
    }
  }
  return WIDTHS.find((bits) => highest < 2 ** bits && highest >= 2 ** (bits - 1)) ?? null;
}

/** Where the values of a column mostly stand: 0 in the middle of the range, 1 at either end. Median of the distances. */
function middlePlace(values: Float64Array, half: number): number {
  return upperMedian(values.map((value) => Math.abs(value - half) / half));
}

/** True where the column leaps over more than half the range from one row to the next. */
function leaps(values: Float64Array, half: number): boolean {
  for (let i = 1; i < values.length; ++i) if (Math.abs(values[i]! - values[i - 1]!) > half) return true;
  return false;
}
