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

/**
 * How many digits the part behind the point stands for where it is not padded with zeros: stamps of `12.84000` and
 * `12.117000` are 12 s and 84 000, then 117 000 µs (6 digits). 0 where the stamps read well as decimal numbers: only falls
 * that vanish so speak for it.
 */
export function unpaddedDigits(cells: readonly string[]): number {
  if (haveOneLength(cells)) return 0;
  const parts: (readonly [number, string])[] = [];
  for (const cell of cells) {
    const match = /^\+?(\d+)[.,](\d{1,9})$/.exec(cell);
    if (!match || /^0\d/.test(match[2]!)) return 0;
    parts.push([Number(match[1]), match[2]!]);
  }
  const lengths = parts.map(([, part]) => part.length);
  const longest = lengths.reduce((most, length) => Math.max(most, length), 0);
  if (longest === 0 || lengths.every((length) => length === longest)) return 0;
  const falls = countFalls(parts.map(([whole, part]) => [whole, Number(`0.${part}`)]));
  const digits = [3, 6, 9].find((count) => count >= longest)!;
  const left = countFalls(parts.map(([whole, part]) => [whole, Number(part)]));
  return falls > 0 && left * 10 <= falls ? digits : 0;
}

/** True where as many digits stand behind the point of every cell, which is quick to see. */
function haveOneLength(cells: readonly string[]): boolean {
  const first = cells[0] ?? '';
  const point = first.includes(',') ? ',' : '.';
  const digits = first.length - first.indexOf(point);
  for (let i = 1; i < cells.length; ++i)
    if (cells[i]!.length - cells[i]!.indexOf(point) !== digits) return false;
  return true;
}

function countFalls(stamps: readonly (readonly [number, number])[]): number {
  return stamps.filter(([whole, part], i) => {
    const [wholeBefore, partBefore] = stamps[i - 1] ?? [-1, 0];
    return whole < wholeBefore || (whole === wholeBefore && part < partBefore);
  }).length;
}

/** `12.84000` as 12.084000. @param digits  of the part behind the point, 0 for a plain decimal number */
export function padPart(text: string, digits: number): string {
  return digits === 0
    ? text
    : text.replace(/\.(\d+)$/, (_, part: string) => `.${part.padStart(digits, '0')}`);
}

/** a - b, exact while it stays below 2^53 of the finest digit. */
export function partsDifference(a: DecimalParts, b: DecimalParts): number {
  return (a.high - b.high) * 1e9 + (a.low - b.low) + (a.fraction - b.fraction);
}

/** The nearest double. */
export function partsValue(parts: DecimalParts): number {
  return parts.high * 1e9 + parts.low + parts.fraction;
}
