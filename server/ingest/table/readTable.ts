import { CancelledError, LogFormatError } from '../../errors.ts';
import type { Hooks, LogSource } from '../ground/types.ts';
import { decodeText } from '../text/decode.ts';
import { openText } from '../text/openText.ts';
import { recordEnd, splitRecord } from '../text/records.ts';
import { REWRITTEN_AWAY } from '../text/rewrite.ts';
import { CR, LF, QUOTE } from '../text/scanCells.ts';
import type { RawTable, TablePlan } from './rawTable.ts';
import { RowScanner } from './scanner.ts';
import { BAD_ROWS_LISTED, TableBuilder } from './tableBuilder.ts';

const BUFFER_BYTES = 512 * 1024;
const RECORD_BYTES_AT_MOST = 64 * 1024;
const LINE_BYTES_AT_MOST = 4 * 1024 * 1024;

/**
 * Reads a file's rows as the plan says, in a stream. One table, or two where the sensors' rows alternate.
 * @throws LogFormatError  where a line is too long to be a row
 * @throws CancelledError  where `hooks.signal` is aborted
 */
export async function readTable(
  source: LogSource,
  plan: TablePlan,
  hooks: Hooks,
): Promise<readonly RawTable[]> {
  const reader = new TableReader(plan, source.sizeBytes);
  let bytesRead = 0;
  const { chunks } = await openText(source);
  for await (const chunk of chunks) {
    if (hooks.signal?.aborted) throw new CancelledError();
    reader.push(chunk);
    bytesRead += chunk.length;
    hooks.onProgress?.(Math.min(1, bytesRead / Math.max(1, source.sizeBytes)));
  }
  return reader.finish();
}

class TableReader {
  private readonly builder: TableBuilder;
  private readonly scanner: RowScanner;
  private readonly sizeBytes: number;
  private buffer = new Uint8Array(BUFFER_BYTES);
  private filled = 0;
  private linesToSkip: number;
  private isLast = false;
  private lacksLineEnd = false;
  private isSized = false;

  constructor(plan: TablePlan, sizeBytes: number) {
    this.builder = new TableBuilder(plan, 1024);
    this.scanner = new RowScanner(this.builder, plan.file.firstDataLine);
    this.sizeBytes = sizeBytes;
    this.linesToSkip = plan.file.firstDataLine - 1;
  }

  push(chunk: Uint8Array): void {
    for (let from = 0; from < chunk.length; ) {
      const part = Math.min(chunk.length - from, this.buffer.length - this.filled);
      if (part === 0) {
        this.enlarge();
        continue;
      }
      this.buffer.set(chunk.subarray(from, from + part), this.filled);
      this.filled += part;
      from += part;
      this.consume();
    }
  }

  finish(): readonly RawTable[] {
    this.isLast = true;
    this.lacksLineEnd =
      this.filled > 0 && this.buffer[this.filled - 1] !== LF && this.buffer[this.filled - 1] !== CR;
    if (this.filled > 0 && this.buffer[this.filled - 1] !== LF) this.push(Uint8Array.of(LF));
    else this.consume();
    const { builder } = this;
    const { sparse } = builder;
    const whole = this.wholeTable();
    if (sparse.count === 0) return [whole];
    if (sparse.isCommon(whole.rows)) return sparse.split(whole);
    const badRows = [...whole.badRows, ...builder.sparseBadRows].sort((a, b) => a.line - b.line);
    return [
      { ...whole, badRows: badRows.slice(0, BAD_ROWS_LISTED), badRowCount: whole.badRowCount + sparse.count },
    ];
  }

  private wholeTable(): RawTable {
    const { builder } = this;
    return {
      plan: builder.plan,
      rows: builder.rows,
      clock: builder.clockColumn.subarray(0, builder.rows),
      base: builder.base,
      columns: builder.columns.map((column) => column.subarray(0, builder.rows)),
      trackEvents: builder.trackEvents,
      badRows: builder.badRows,
      badRowCount: builder.badRowCount,
      eventRows: builder.eventRows,
      leapSeconds: builder.leapSeconds,
      breaks: builder.breaks,
      lostRows: builder.lostRows,
      lineMarks: builder.lineMarks,
    };
  }

  /** Reads the complete lines of the buffer and moves the rest to its front. */
  private consume(): void {
    const end = this.completeEnd();
    let p = this.skipLines(end);
    const from = p;
    while (p < end) {
      p = this.scanner.scan(this.buffer, p, end);
      const next = p < end ? this.readOdd(p, end) : end;
      if (next < 0) break;
      p = next;
    }
    this.buffer.copyWithin(0, p, this.filled);
    this.filled -= p;
    if (!this.isSized && this.builder.rows > 16) this.makeRoom(p - from);
  }

  /** One allocation for the whole file: rows of it are about as long as those read so far. */
  private makeRoom(bytes: number): void {
    this.isSized = true;
    this.builder.grow(Math.ceil((this.sizeBytes / bytes) * this.builder.rows * 1.03) + 64);
  }

  /** Index after the last complete line. A CR at the very end may be half of a CRLF: it waits for the next bytes. */
  private completeEnd(): number {
    for (let i = this.filled - 1; i >= 0; --i) if (this.buffer[i] === LF) return i + 1;
    for (let i = this.filled - 2; i >= 0; --i) if (this.buffer[i] === CR) return i + 1;
    return 0;
  }

  private skipLines(end: number): number {
    let p = 0;
    while (this.linesToSkip > 0 && p < end) {
      while (this.buffer[p] !== LF && this.buffer[p] !== CR) ++p;
      p += this.buffer[p] === CR && this.buffer[p + 1] === LF ? 2 : 1;
      --this.linesToSkip;
    }
    return p;
  }

  /** Reads the row at `from`, which the scanner left; returns the index after it, or -1 where it needs more bytes. */
  private readOdd(from: number, end: number): number {
    const { builder, scanner, buffer } = this;
    const { delimiter } = builder.plan.file;
    const lineEnd = scanner.lineEnd(from);
    let stop = buffer[lineEnd] === CR && buffer[lineEnd + 1] === LF ? lineEnd + 2 : lineEnd + 1;
    let broken = false;
    if (delimiter !== ' ' && buffer.subarray(from, lineEnd).includes(QUOTE)) {
      const limit = Math.min(end, from + RECORD_BYTES_AT_MOST);
      const ending = recordEnd(new TextDecoder('latin1').decode(buffer.subarray(from, limit)), 0, delimiter);
      if (ending < 0 && limit === end && !this.isLast) return -1;
      broken = ending < 0;
      if (ending > 0) stop = from + ending;
    }
    const line = scanner.line;
    const text = decodeText(buffer.subarray(from, stop)).replace(/(\r\n|\n|\r)$/, '');
    scanner.line += text.match(/\r\n|\n|\r/g)?.length ?? 0;
    scanner.line += 1;
    const fields = broken ? 'a quote is never closed' : splitRecord(text, delimiter);
    if (text.trim() === '') {
      // A rewritten line that holds nothing by itself is one blank.
      if (text !== REWRITTEN_AWAY) builder.markBreak();
    } else if (typeof fields === 'string') builder.addBad(line, null, fields);
    else builder.addFields(fields, line, this.lacksLineEnd && stop === this.filled);
    return stop;
  }

  private enlarge(): void {
    if (this.buffer.length >= LINE_BYTES_AT_MOST) {
      const at = { file: this.builder.plan.file.name, line: this.scanner.line };
      throw new LogFormatError('a line of more than 4 MiB is no row of a log', at);
    }
    const larger = new Uint8Array(this.buffer.length * 2);
    larger.set(this.buffer);
    this.buffer = larger;
  }
}
