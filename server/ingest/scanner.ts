import type { TableBuilder } from './tableBuilder.ts';

const SKIP = 0;
const NUMBER = 1;
const CLOCK = 2;
const STAMP = 3;
const TRACK = 4;

const LF = 10;
const CR = 13;
const TAB = 9;
const BLANK = 32;
const QUOTE = 34;
const MINUS = 45;
const PLUS = 43;
/** Up to here a whole number in a double is exact, and so is one division by a power of ten up to 1e22. */
const EXACT = 9_007_199_254_740_991;
const POWERS = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));

/**
 * Reads plain rows straight from bytes into the builder's columns. A number of up to 15 digits (more while it fits
 * 2^53) becomes a whole number and ONE multiplication or division by an exact power of ten, which rounds as `Number`
 * does; longer ones are handed to `Number`. Any row that is not plain is left to the caller: `scan` stops there.
 */
export class RowScanner {
  /** Line of the row at which `scan` stopped, from 1. */
  line: number;
  private readonly builder: TableBuilder;
  private readonly kinds: Uint8Array;
  private readonly slots: Int32Array;
  private readonly delimiter: number;
  private readonly isBlankDelimiter: boolean;
  private readonly point: number;
  private readonly comment: readonly number[];
  private readonly pending: string[];
  private readonly lastBytes: Uint8Array[];
  private buffer: Uint8Array = new Uint8Array(0);
  private text: Buffer = Buffer.alloc(0);
  private value = 0;
  private clock = 0;

  constructor(builder: TableBuilder, firstLine: number) {
    const { plan } = builder;
    this.builder = builder;
    this.line = firstLine;
    this.kinds = new Uint8Array(plan.file.columnCount);
    this.slots = new Int32Array(plan.file.columnCount);
    if (plan.clockIndex >= 0) this.kinds[plan.clockIndex] = plan.clockKind === 'decimal' ? CLOCK : STAMP;
    for (const [slot, { index }] of plan.motion.entries()) this.assign(index, NUMBER, slot);
    for (const [slot, { index }] of plan.tracks.entries()) this.assign(index, TRACK, slot);
    this.delimiter = plan.file.delimiter.charCodeAt(0);
    this.isBlankDelimiter = plan.file.delimiter === ' ';
    this.point = plan.file.decimal.charCodeAt(0);
    this.comment = [...(plan.file.comment ?? '')].map((c) => c.charCodeAt(0));
    this.pending = plan.tracks.map(() => '');
    this.lastBytes = plan.tracks.map(() => new Uint8Array(0));
  }

  /**
   * Reads rows from buffer[from, end), which must end in a line end. Returns the index of the first row that is not
   * plain, or `end`.
   */
  scan(buffer: Uint8Array, from: number, end: number): number {
    if (this.buffer !== buffer) {
      this.buffer = buffer;
      this.text = Buffer.from(buffer.buffer, buffer.byteOffset, buffer.byteLength);
    }
    const { builder } = this;
    let p = from;
    while (p < end) {
      let next = p;
      if (buffer[p] !== LF && buffer[p] !== CR) {
        if (this.isComment(p)) next = this.lineEnd(p);
        else {
          if (builder.rows === builder.capacity) builder.grow(builder.capacity * 2);
          next = this.scanRow(p);
          if (next < 0) return p;
        }
      }
      p = buffer[next] === CR && buffer[next + 1] === LF && next + 1 < end ? next + 2 : next + 1;
      ++this.line;
    }
    return end;
  }

  /** Index of the line end of the line that holds `p`. */
  lineEnd(p: number): number {
    const { buffer } = this;
    while (buffer[p] !== LF && buffer[p] !== CR) ++p;
    return p;
  }

  private assign(index: number, kind: number, slot: number): void {
    this.kinds[index] = kind;
    this.slots[index] = slot;
  }

  private isComment(p: number): boolean {
    if (this.comment.length === 0) return false;
    for (let i = 0; i < this.comment.length; ++i) if (this.buffer[p + i] !== this.comment[i]) return false;
    return true;
  }

  /** The index of the row's line end, or -1 where the row is not plain. */
  private scanRow(from: number): number {
    const { buffer, kinds, builder, delimiter } = this;
    const last = kinds.length - 1;
    let p = from;
    if (this.isBlankDelimiter) while (buffer[p] === BLANK || buffer[p] === TAB) ++p;
    for (let column = 0; column <= last; ++column) {
      const kind = kinds[column]!;
      if (kind === NUMBER) {
        p = this.scanNumber(p);
        if (p < 0) return -1;
        builder.columns[this.slots[column]!]![builder.rows] = this.value;
      } else if (kind === CLOCK) {
        p = this.scanClock(p);
        if (p < 0) return -1;
        builder.clockColumn[builder.rows] = this.clock;
      } else {
        p = this.scanText(p, kind, this.slots[column]!);
        if (p < 0) return -1;
      }
      let c = buffer[p]!;
      if (this.isBlankDelimiter) {
        const at = p;
        while (c === BLANK || c === TAB) c = buffer[++p]!;
        if (column < last && (p === at || c === LF || c === CR)) return -1;
        if (column === last) return c === LF || c === CR ? this.accept(p) : -1;
      } else if (column < last) {
        if (c !== delimiter) return -1;
        ++p;
      } else {
        // A delimiter at the end of every row is common; it opens no field.
        if (c === delimiter) c = buffer[++p]!;
        return c === LF || c === CR ? this.accept(p) : -1;
      }
    }
    return -1;
  }

  private accept(lineEnd: number): number {
    const { builder } = this;
    const clock = builder.plan.clockIndex < 0 ? Number.NaN : builder.clockColumn[builder.rows]!;
    for (let i = 0; i < this.pending.length; ++i) builder.track(i, this.pending[i]!, builder.rows, clock);
    builder.markLine(this.line);
    ++builder.rows;
    return lineEnd;
  }

  /** Reads a number into `value`; returns the index after it, or -1. */
  private scanNumber(from: number): number {
    const { buffer, point } = this;
    let p = from;
    let c = buffer[p]!;
    while (c === BLANK) c = buffer[++p]!;
    const isQuoted = c === QUOTE && p === from;
    if (isQuoted) c = buffer[++p]!;
    const start = p;
    const isNegative = c === MINUS;
    if (isNegative || c === PLUS) c = buffer[++p]!;
    let mantissa = 0;
    let digit = c - 48;
    const whole = p;
    while (digit >= 0 && digit <= 9) {
      mantissa = mantissa * 10 + digit;
      digit = buffer[++p]! - 48;
    }
    let digits = p - whole;
    let scale = 0;
    if (buffer[p] === point) {
      const fraction = ++p;
      digit = buffer[p]! - 48;
      while (digit >= 0 && digit <= 9) {
        mantissa = mantissa * 10 + digit;
        digit = buffer[++p]! - 48;
      }
      scale = fraction - p;
      digits -= scale;
    }
    if (digits === 0) return -1;
    if ((buffer[p]! | 32) === 101) {
      const exponent = this.scanExponent(p + 1);
      if (exponent < 0) return -1;
      p = exponent;
      scale += this.value;
    }
    if (mantissa <= EXACT && scale >= -22 && scale <= 22) {
      const size = scale < 0 ? mantissa / POWERS[-scale]! : mantissa * POWERS[scale]!;
      this.value = isNegative ? -size : size;
    } else {
      const text = this.text.toString('latin1', start, p);
      this.value = Number(point === 44 ? text.replace(',', '.') : text);
      // 1e999 is no value that a sensor gives.
      if (!Number.isFinite(this.value)) return -1;
    }
    if (isQuoted && buffer[p++] !== QUOTE) return -1;
    if (this.isBlankDelimiter || isQuoted) return p;
    while (buffer[p] === BLANK) ++p;
    return p;
  }

  /** Reads `-12` into `value`; returns the index after it, or -1. */
  private scanExponent(from: number): number {
    const { buffer } = this;
    let p = from;
    const isNegative = buffer[p] === MINUS;
    if (isNegative || buffer[p] === PLUS) ++p;
    const start = p;
    let exponent = 0;
    for (let digit = buffer[p]! - 48; digit >= 0 && digit <= 9; digit = buffer[++p]! - 48) {
      exponent = Math.min(9999, exponent * 10 + digit);
    }
    this.value = isNegative ? -exponent : exponent;
    return p === start ? -1 : p;
  }

  /** Reads a plain decimal stamp into `clock`, exactly; returns the index after it, or -1. */
  private scanClock(from: number): number {
    const { buffer, builder, point } = this;
    let p = from;
    while (buffer[p] === BLANK) ++p;
    let whole = 0;
    let digit = buffer[p]! - 48;
    const start = p;
    while (digit >= 0 && digit <= 9) {
      whole = whole * 10 + digit;
      digit = buffer[++p]! - 48;
    }
    let fraction = 0;
    let places = 0;
    if (buffer[p] === point) {
      const first = ++p;
      digit = buffer[p]! - 48;
      while (digit >= 0 && digit <= 9) {
        fraction = fraction * 10 + digit;
        digit = buffer[++p]! - 48;
      }
      places = p - first;
    }
    const { base } = builder;
    const isPlain = p > start + (places > 0 ? 1 : 0) && (buffer[p]! | 32) !== 101;
    if (!isPlain || base === null || whole > EXACT || fraction > EXACT || places > 22)
      return this.clockFromText(from);
    const high = Math.floor(whole / 1e9);
    this.clock =
      (high - base.high) * 1e9 +
      (whole - high * 1e9 - base.low) +
      (fraction / POWERS[places]! - base.fraction);
    if (!this.isBlankDelimiter) while (buffer[p] === BLANK) ++p;
    return p;
  }

  private clockFromText(from: number): number {
    const end = this.fieldEnd(from);
    if (end < 0) return -1;
    const isQuoted = this.buffer[from] === QUOTE;
    this.clock = this.builder.readClock(
      this.text.toString('latin1', from + (isQuoted ? 1 : 0), end - (isQuoted ? 1 : 0)),
    );
    return Number.isNaN(this.clock) ? -1 : end;
  }

  /** Passes over a text field; keeps it where it is a stamp or a track. Returns the index after it, or -1. */
  private scanText(from: number, kind: number, slot: number): number {
    const end = this.fieldEnd(from);
    if (end < 0 || kind === SKIP) return end;
    const isQuoted = this.buffer[from] === QUOTE;
    const [start, stop] = isQuoted ? [from + 1, end - 1] : [from, end];
    if (kind === STAMP) {
      const clock = this.builder.readClock(this.text.toString('latin1', start, stop));
      if (Number.isNaN(clock)) return -1;
      this.builder.clockColumn[this.builder.rows] = clock;
      return end;
    }
    if (!this.isSameText(slot, start, stop)) {
      this.lastBytes[slot] = this.buffer.slice(start, stop);
      this.pending[slot] = this.text.toString('utf8', start, stop).trim();
    }
    return end;
  }

  private isSameText(slot: number, start: number, stop: number): boolean {
    const last = this.lastBytes[slot]!;
    if (last.length !== stop - start) return false;
    for (let i = 0; i < last.length; ++i) if (last[i] !== this.buffer[start + i]) return false;
    return true;
  }

  /** The index after a field, quoted or not; -1 where quotes are not plain (doubled, unclosed, in the middle). */
  private fieldEnd(from: number): number {
    const { buffer, delimiter, isBlankDelimiter } = this;
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
}
