/**
 * A decimal number in exact parts: value = high * 1e9 + low + fraction, `high` and `low` whole, 0 <= low < 1e9
 * (both negated for a negative number). Epoch nanoseconds have 19 digits, a double holds 15: only differences of
 * the parts are exact.
 */
export interface DecimalParts {
  readonly high: number;
  readonly low: number;
  readonly fraction: number;
}

/** The parts of a plain or scientific decimal number with a point; null where the text is none. */
export function decimalParts(text: string): DecimalParts | null {
  const match = /^\s*([+-]?)(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d+))?\s*$/.exec(text);
  const digits = match ? match[2]! + (match[3] ?? '') : '';
  if (!match || digits === '') return null;
  const shift = Number(match[4] ?? 0);
  if (Math.abs(shift) > 40) return null;
  const point = match[2]!.length + shift;
  const whole = point <= 0 ? '0' : digits.slice(0, point).padEnd(point, '0');
  const rest = point < 0 ? '0'.repeat(-point) + digits : digits.slice(point);
  const sign = match[1] === '-' ? -1 : 1;
  return {
    high: sign * Number(whole.slice(0, -9)),
    low: sign * Number(whole.slice(-9)),
    fraction: sign * Number(`0.${rest || '0'}`),
  };
}

/** a - b, exact while it stays below 2^53 of the finest digit. */
export function partsDifference(a: DecimalParts, b: DecimalParts): number {
  return (a.high - b.high) * 1e9 + (a.low - b.low) + (a.fraction - b.fraction);
}

/** The nearest double. */
export function partsValue(parts: DecimalParts): number {
  return parts.high * 1e9 + parts.low + parts.fraction;
}
