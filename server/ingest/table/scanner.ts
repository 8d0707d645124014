import { isPlausible } from '../text/cells.ts';
import { EXACT, plainNumber, SHORT_DIGITS, shortStamp } from '../text/numberBytes.ts';
import { CR, fieldEnd, LF, MINUS, numberEnd, POWERS, QUOTE, readNumber, TAB } from '../text/scanCells.ts';
import type { TableBuilder } from './tableBuilder.ts';

const SKIP = 0;
const NUMBER = 1;
const CLOCK = 2;
const STAMP = 3;
const TRACK = 4;

const BLANK = 32;
const NO_BYTE = -1;
/** Four bytes that say 0. */
const FOUR_ZEROS = 0x30303030;

/**
 * Reads plain rows straight from bytes into the builder's columns. A number of up to 15 digits (more while it fits
 * 2^53) becomes a whole number and ONE division by an exact power of ten, which rounds as `Number` does. Whatever is
 * longer, quoted, or has an exponent takes the slower way of scanCells.ts. Any row that is not plain is left to the
 * caller: `scan` stops there.
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
  private view: DataView = new DataView(new ArrayBuffer(0));
  private text: Buffer = Buffer.alloc(0);

  constructor(builder: TableBuilder, firstLine: number) {
    const { plan } = builder;
    this.builder = builder;
    this.line = firstLine;
    const needed = [plan.clockIndex, ...plan.motion.map(({ index }) => index)];
    const count = Math.max(plan.file.columnCount, ...needed.map((index) => index + 1));
    this.kinds = new Uint8Array(count);
    this.slots = new Int32Array(count);
    if (plan.clockIndex >= 0) this.kinds[plan.clockIndex] = plan.clockKind === 'decimal' ? CLOCK : STAMP;
    for (const [slot, { index }] of plan.motion.entries()) this.assign(index, NUMBER, slot);
    for (const [slot, { index }] of plan.tracks.entries()) this.assign(index, TRACK, slot);
    // Beyond ASCII it takes several bytes: then no row is plain.
    const code = plan.file.delimiter.charCodeAt(0);
    this.delimiter = code < 128 ? code : NO_BYTE;
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
      this.view = new DataView(buffer.buffer, buffer.byteOffset, buffer.byteLength);
      this.text = Buffer.from(buffer.buffer, buffer.byteOffset, buffer.byteLength);
    }
    const { builder } = this;
    let p = from;
    while (p < end) {
      let next = p;
      const c = buffer[p]!;
      if (c !== LF && c !== CR) {
        if (this.isComment(p)) {
          next = this.lineEnd(p);
          builder.addComment(this.text.toString('utf8', p, next));
        } else {
          if (builder.rows === builder.capacity) builder.grow(builder.capacity * 2);
          next = this.scanRow(p, builder.rows, builder.columns);
          if (next < 0) return p;
          this.accept();
        }
      } else builder.markBreak();
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

  /** A track behind the last regular column has no place here: rows that fill it are longer, and not plain. */
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
  private scanRow(from: number, row: number, columns: readonly Float64Array[]): number {
    const { buffer, kinds, slots, delimiter, point, isBlankDelimiter, view } = this;
    const wordsEnd = buffer.length - 4;
    const last = kinds.length - 1;
    let p = isBlankDelimiter ? this.skipBlanks(from) : from;
    for (let column = 0; column <= last; ++column) {
      const kind = kinds[column]!;
      if (kind === NUMBER) {
        const start = p;
        // Written out, since a call for each number, or for each digit, would take a sixth more time. Four digits behind the
        // point are read at once.
        let c = buffer[p]!;
        // 1 for a minus, 0 for all else, without a branch: signs of noise are not foreseen.
        const minus = ((c ^ MINUS) - 1) >>> 31;
        p += minus;
        c = buffer[p]!;
        const first = p;
        let mantissa = 0;
        while ((c - 48) >>> 0 < 10) {
          mantissa = ((mantissa << 3) + (mantissa << 1) + (c - 48)) | 0;
          c = buffer[++p]!;
        }
        let digits = p - first;
        let places = 0;
        if (c === point) {
          const part = ++p;
          if (p < wordsEnd) {
            const word = (view.getInt32(p, true) - FOUR_ZEROS) | 0;
            // The highest bit of a byte below '0' is set by now, and that of one above '9' once 0x76 is added to it.
            if (((word | (word + 0x76767676)) & 0x80808080) === 0) {
              const pairs = ((word << 3) + (word << 1) + (word >>> 8)) & 0x00ff00ff;
              mantissa = (Math.imul(mantissa, 10_000) + (Math.imul(pairs & 0xff, 100) + (pairs >>> 16))) | 0;
              p += 4;
            }
          }
          c = buffer[p]!;
          while ((c - 48) >>> 0 < 10) {
            mantissa = ((mantissa << 3) + (mantissa << 1) + (c - 48)) | 0;
            c = buffer[++p]!;
          }
          places = p - part;
          digits += places;
        }
        if (digits > 0 && digits <= SHORT_DIGITS && (c === delimiter || c === LF || c === CR)) {
          columns[slots[column]!]![row] = (mantissa / POWERS[places]!) * (1 - 2 * minus);
        } else {
          p = this.scanLongNumber(start, row, columns[slots[column]!]!);
          if (p < 0) return -1;
        }
      } else {
        p = kind === CLOCK ? this.scanClock(p, row) : this.scanText(p, kind, slots[column]!, row);
        if (p < 0) return -1;
      }
      const at = p;
      if (isBlankDelimiter) p = this.skipBlanks(p);
      const c = buffer[p]!;
      if (column === last) {
        // A delimiter at the end of every row is common; it opens no field.
        if (c === delimiter) ++p;
        return buffer[p] === LF || buffer[p] === CR ? p : -1;
      }
      if (isBlankDelimiter) {
        if (p === at || c === LF || c === CR) return -1;
      } else if (c !== delimiter) return -1;
      else ++p;
    }
    return -1;
  }

  private accept(): void {
    const { builder, pending } = this;
    for (let i = 0; i < pending.length; ++i) {
      if (!builder.isNews(i, pending[i]!)) continue;
      const clock = builder.plan.clockIndex < 0 ? Number.NaN : builder.clockColumn[builder.rows]!;
      builder.track(i, pending[i]!, builder.rows, clock);
    }
    builder.markLine(this.line);
    ++builder.rows;
  }

  private skipBlanks(p: number): number {
    const { buffer } = this;
    while (buffer[p] === BLANK || buffer[p] === TAB) ++p;
    return p;
  }

  private scanLongNumber(from: number, row: number, target: Float64Array): number {
    const p = plainNumber(this.buffer, from, this.point, target, row);
    const c = this.buffer[p];
    const isWhole = p >= 0 && (c === this.delimiter || c === LF || c === CR);
    return isWhole ? p : this.scanOddNumber(from, row, target);
  }

  /** A number that is long, quoted, has an exponent or blanks around it. Returns the index after it, or -1. */
  private scanOddNumber(from: number, row: number, target: Float64Array): number {
    const { buffer, point, isBlankDelimiter } = this;
    const isQuoted = buffer[from] === QUOTE;
    const start = isQuoted ? from + 1 : isBlankDelimiter ? from : this.skipPlainBlanks(from);
    let p = numberEnd(buffer, start, point);
    if (p < 0) return -1;
    const value = readNumber(this.text, start, p, point);
    // The row's other reader says why.
    if (!isPlausible(value)) return -1;
    target[row] = value;
    if (isQuoted) return buffer[p] === QUOTE ? p + 1 : -1;
    if (!isBlankDelimiter) p = this.skipPlainBlanks(p);
    return p;
  }

  private skipPlainBlanks(p: number): number {
    while (this.buffer[p] === BLANK) ++p;
    return p;
  }

  /** Reads a plain decimal stamp, exactly; returns the index after it, or -1. */
  private scanClock(from: number, row: number): number {
    const { buffer, builder, point } = this;
    let p = this.skipPlainBlanks(from);
    const isShort = builder.base?.high === 0 && builder.plan.clockPartDigits === 0;
    const short = isShort ? shortStamp(buffer, p, point, builder.base!, builder.clockColumn, row) : -1;
    if (short >= 0 && buffer[short] === this.delimiter) return short;
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
      places = builder.plan.clockPartDigits || p - first;
    }
    const { base } = builder;
    const isPlain = p > start + (places > 0 ? 1 : 0) && (buffer[p]! | 32) !== 101;
    const isExact = whole <= EXACT && fraction <= EXACT && places <= 22;
    if (!isPlain || !isExact || base === null) return this.clockFromText(from, row);
    const high = Math.floor(whole / 1e9);
    builder.clockColumn[row] =
      (high - base.high) * 1e9 +
      (whole - high * 1e9 - base.low) +
      (fraction / POWERS[places]! - base.fraction);
    return this.isBlankDelimiter ? p : this.skipPlainBlanks(p);
  }

  private clockFromText(from: number, row: number): number {
    const end = fieldEnd(this.buffer, from, this.delimiter, this.isBlankDelimiter);
    if (end < 0) return -1;
    const inside = this.buffer[from] === QUOTE ? 1 : 0;
    const clock = this.builder.readClock(this.text.toString('latin1', from + inside, end - inside));
    this.builder.clockColumn[row] = clock;
    return Number.isNaN(clock) ? -1 : end;
  }

  /** Passes over a text field; keeps it where it is a stamp or a track. Returns the index after it, or -1. */
  private scanText(from: number, kind: number, slot: number, row: number): number {
    if (kind === STAMP) return this.clockFromText(from, row);
    const end = fieldEnd(this.buffer, from, this.delimiter, this.isBlankDelimiter);
    if (end < 0 || kind === SKIP) return end;
    const inside = this.buffer[from] === QUOTE ? 1 : 0;
    if (!this.isSameText(slot, from + inside, end - inside)) {
      this.lastBytes[slot] = this.buffer.slice(from + inside, end - inside);
      this.pending[slot] = this.text.toString('utf8', from + inside, end - inside).trim();
    }
    return end;
  }

  private isSameText(slot: number, start: number, stop: number): boolean {
    const last = this.lastBytes[slot]!;
    if (last.length !== stop - start) return false;
    for (let i = 0; i < last.length; ++i) if (last[i] !== this.buffer[start + i]) return false;
    return true;
  }
}
