/** Digits stand in one place of it only: where they might be shared out, a long cell that is no number takes minutes. */
const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?$/;
const MISSING = new Set(
  '|-|--|nan|na|n/a|#n/a|null|none|nil|inf|+inf|-inf|infinity|-infinity|+infinity|undefined|?'.split('|'),
);

/** Why a cell is no number, or null where it is one. Blanks around it are ignored. */
export function whyNoNumber(text: string, decimal: '.' | ','): string | null {
  const cell = text.trim();
  if (isNumber(cell, decimal)) return null;
  if (cell === '') return 'the cell is empty';
  if (MISSING.has(cell.toLowerCase())) return `"${cell}" stands for no value`;
  const plain = decimal === ',' ? withPoint(cell) : cell;
  if (NUMBER.test(plain) && Number.isFinite(Number(plain)))
    return `"${shorten(cell)}" is too large to be a measurement`;
  return `"${shorten(cell)}" is no number`;
}

/** True where `Number` may read the cell: plain decimals and exponents, no hexadecimal, no words. */
export function isNumber(text: string, decimal: '.' | ','): boolean {
  return !Number.isNaN(parseCell(text, decimal));
}

/** True for an empty cell and for the words that stand for no value. */
export function isMissing(text: string): boolean {
  // As numbers do, and none of the words.
  if (isDigit(text.charCodeAt(text.length - 1))) return false;
  return MISSING.has(text.trim().toLowerCase());
}

/**
 * Larger than whatever a log counts or measures: nanoseconds since 1970 have 19 digits. What is larger is torn or no
 * measurement, and its square may be no number at all.
 */
const MAGNITUDE_AT_MOST = 1e25;

/** True for a value that a cell of a log may hold: no infinity, nothing absurdly large. */
export function isPlausible(value: number): boolean {
  return Math.abs(value) <= MAGNITUDE_AT_MOST;
}

/** The number in a cell, NaN where there is none: an empty cell is no 0, and 1e200 no number that a sensor gives. */
export function parseCell(text: string, decimal: '.' | ','): number {
  const cell = text.trim();
  const plain = decimal === ',' ? withPoint(cell) : cell;
  const value = NUMBER.test(plain) ? Number(plain) : Number.NaN;
  return isPlausible(value) ? value : Number.NaN;
}

/** Long text cut to what fits in a message. */
export function shorten(text: string): string {
  return text.length > 40 ? `${text.slice(0, 37)}...` : text;
}

function isDigit(code: number): boolean {
  return code >= 48 && code <= 57;
}

function withPoint(cell: string): string {
  return cell.includes('.') ? cell : cell.replace(',', '.');
}
