import { MINUS, POWERS } from './scanCells.ts';
import type { DecimalParts } from './stamps.ts';

/** Up to here a whole number in a double is exact, and so is its division by a power of ten up to 1e22. */
export const EXACT = 9_007_199_254_740_991;
/** So many digits fit a whole number of 32 bits. */
export const SHORT_DIGITS = 9;

/** Writes the plain number at `from`, of as many digits as fit 2^53, to into[row]. Returns the index after it, or -1. */
export function plainNumber(
  buffer: Uint8Array,
  from: number,
  point: number,
  into: Float64Array,
  row: number,
): number {
  let p = from;
  const isNegative = buffer[p] === MINUS;
  if (isNegative) ++p;
  const first = p;
  let mantissa = 0;
  let digit = buffer[p]! - 48;
  while (digit >= 0 && digit <= 9) {
    mantissa = mantissa * 10 + digit;
    digit = buffer[++p]! - 48;
  }
  let digits = p - first;
  let places = 0;
  if (buffer[p] === point) {
    const part = ++p;
    digit = buffer[p]! - 48;
    while (digit >= 0 && digit <= 9) {
      mantissa = mantissa * 10 + digit;
      digit = buffer[++p]! - 48;
    }
    places = p - part;
    digits += places;
  }
  if (digits === 0 || mantissa > EXACT || places > 22) return -1;
  const size = mantissa / POWERS[places]!;
  into[row] = isNegative ? -size : size;
  return p;
}

/**
 * Writes the stamp at `from`, of up to nine digits before the point and behind it, to into[row], counted from `base`, whose
 * `high` is 0. Returns the index after it, or -1.
 */
export function shortStamp(
  buffer: Uint8Array,
  from: number,
  point: number,
  base: DecimalParts,
  into: Float64Array,
  row: number,
): number {
  let p = from;
  let c = buffer[p]!;
  let whole = 0;
  while ((c - 48) >>> 0 < 10) {
    whole = ((whole << 3) + (whole << 1) + (c - 48)) | 0;
    c = buffer[++p]!;
  }
  const digits = p - from;
  let fraction = 0;
  let places = 0;
  if (c === point) {
    c = buffer[++p]!;
    const part = p;
    while ((c - 48) >>> 0 < 10) {
      fraction = ((fraction << 3) + (fraction << 1) + (c - 48)) | 0;
      c = buffer[++p]!;
    }
    places = p - part;
  }
  if (digits === 0 || digits > SHORT_DIGITS || places > SHORT_DIGITS) return -1;
  into[row] = whole - base.low + (fraction / POWERS[places]! - base.fraction);
  return p;
}
