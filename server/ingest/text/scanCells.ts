/** Bytes that mean something in a row. */
export const LF = 10;
export const CR = 13;
export const QUOTE = 34;
export const TAB = 9;
const PLUS = 43;
const COMMA = 44;
export const MINUS = 45;

/** 1e0 to 1e22: the powers of ten that a double holds exactly. */
export const POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

/** The index after a number that starts at `from`, or -1 where none does. */
export function numberEnd(buffer: Uint8Array, from: number, point: number): number {
  let p = from;
  if (buffer[p] === MINUS || buffer[p] === PLUS) ++p;
  const whole = p;
  p = digitsEnd(buffer, p);
  let digits = p - whole;
  if (buffer[p] === point) {
    const part = ++p;
    p = digitsEnd(buffer, p);
    digits += p - part;
  }
  if (digits === 0) return -1;
  if ((buffer[p]! | 32) !== 101) return p;
  ++p;
  if (buffer[p] === MINUS || buffer[p] === PLUS) ++p;
  const end = digitsEnd(buffer, p);
  return end === p ? -1 : end;
}

/** The value of the number at [from, to). */
export function readNumber(text: Buffer, from: number, to: number, point: number): number {
  const number = text.toString('latin1', from, to);
  return Number(point === COMMA ? number.replace(',', '.') : number);
}

/** The index after a field, quoted or not; -1 where quotes are not plain (doubled, unclosed, in the middle). */
export function fieldEnd(
  buffer: Uint8Array,
  from: number,
  delimiter: number,
  isBlankDelimiter: boolean,
): number {
  let p = from;
  if (buffer[p] === QUOTE) {
    for (++p; buffer[p] !== QUOTE; ++p) if (buffer[p] === LF || buffer[p] === CR) return -1;
    return buffer[p + 1] === QUOTE ? -1 : p + 1;
  }
  for (; ; ++p) {
    const c = buffer[p]!;
    if (c === delimiter || c === LF || c === CR || (isBlankDelimiter && c === TAB)) return p;
    if (c === QUOTE) return -1;
  }
}

function digitsEnd(buffer: Uint8Array, from: number): number {
  let p = from;
  while (buffer[p]! >= 48 && buffer[p]! <= 57) ++p;
  return p;
}
