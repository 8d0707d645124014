import { isDecision } from '../../engine/base/columnRoles.ts';
import type { BadRow } from '../ground/types.ts';
import { isEvent } from '../roles/decisionColumns.ts';
import { isMissing, isNumber, parseCell, shorten, whyNoNumber } from '../text/cells.ts';
import { parseIso8601, parseTimeOfDay } from '../text/iso8601.ts';
import { type DecimalParts, decimalParts, padPart, partsDifference } from '../text/stamps.ts';
import { type TablePlan, TRACK_EVENTS_AT_MOST, type TrackEvent } from './rawTable.ts';
import { SparseRows } from './sparseRows.ts';

export const BAD_ROWS_LISTED = 200;

/** What loggers write between one capture and the next. */
const CAPTURE =
  /\b(captures?|takes?|record\w*|sessions?|runs?|trials?|start\w*|begin\w*|stop\w*|end|ended|boot\w*|reset|restart\w*|new file|segment)\b/i;

/** The growing table: columns of numbers, changes of texts, and the rows that were left out. */
export class TableBuilder {
  readonly plan: TablePlan;
  readonly columns: Float64Array[];
  readonly trackEvents: TrackEvent[][];
  readonly badRows: BadRow[] = [];
  badRowCount = 0;
  eventRows = 0;
  readonly sparse: SparseRows;
  /** Bad only if such rows are rare. */
  readonly sparseBadRows: BadRow[] = [];
  leapSeconds = 0;
  rows = 0;
  capacity: number;
  clockColumn: Float64Array;
  base: DecimalParts | null = null;
  /** Where the distance between row and line number changes: [row, line] from there on. */
  readonly lineMarks: (readonly [number, number])[] = [];
  readonly breaks: number[] = [];
  readonly lostRows: number[] = [];
  private lineAhead = Number.NaN;
  private readonly lastTexts: (string | null)[];
  private readonly areDecisions: readonly boolean[];

  constructor(plan: TablePlan, capacity: number) {
    this.plan = plan;
    this.capacity = capacity;
    this.clockColumn = new Float64Array(plan.clockKind === 'none' ? 0 : capacity);
    this.columns = plan.motion.map(() => new Float64Array(capacity));
    this.trackEvents = plan.tracks.map(() => []);
    this.lastTexts = plan.tracks.map(() => null);
    this.areDecisions = plan.tracks.map(({ role }) => isDecision(role));
    this.sparse = new SparseRows(plan);
  }

  /** Makes room for this many rows; what is there stays. */
  grow(capacity: number): void {
    if (capacity <= this.capacity) return;
    const larger = (old: Float64Array) => {
      const column = new Float64Array(capacity);
      column.set(old.subarray(0, this.rows));
      return column;
    };
    if (this.plan.clockKind !== 'none') this.clockColumn = larger(this.clockColumn);
    for (let i = 0; i < this.columns.length; ++i) this.columns[i] = larger(this.columns[i]!);
    this.capacity = capacity;
  }

  /** Since the clock's first stamp, in the clock's unit (ISO and time of day: us). NaN where the cell is no stamp. */
  readClock(text: string): number {
    const parts = this.clockParts(text);
    if (!parts) return Number.NaN;
    this.base ??= parts;
    return partsDifference(parts, this.base);
  }

  /** Notes the line of the row that is about to be added. */
  markLine(line: number): void {
    if (line - this.rows === this.lineAhead) return;
    this.lineAhead = line - this.rows;
    this.lineMarks.push([this.rows, line]);
  }

  /** Notes that a capture may end before the next row. */
  markBreak(): void {
    if (this.breaks.at(-1) !== this.rows) this.breaks.push(this.rows);
  }

  /** A comment among the rows ends a capture where it speaks of one. */
  addComment(text: string): void {
    if (CAPTURE.test(text)) this.markBreak();
  }

  /** Notes a text of a column that is no motion, if it differs from the one before or is an event of its own. */
  track(column: number, text: string, row: number, clock: number): void {
    if (!this.isNews(column, text)) return;
    this.lastTexts[column] = text;
    const events = this.trackEvents[column]!;
    if (events.length < TRACK_EVENTS_AT_MOST) events.push({ row, clock, text });
  }

  /** Whether a text differs from the one before in its column, or is an event of its own. */
  isNews(column: number, text: string): boolean {
    if (this.lastTexts[column] !== text) return true;
    if (!this.areDecisions[column]!) return false;
    const { role } = this.plan.tracks[column]!;
    return isDecision(role) && isEvent(role, text);
  }

  /** Takes a row as text: adds it, or counts it as bad and says why. */
  addFields(fields: readonly string[], line: number, isCutOff: boolean): void {
    const { plan } = this;
    if (!this.hasRightLength(fields, line, isCutOff)) {
      this.noteLost(fields);
      return;
    }
    const clock = plan.clockIndex < 0 ? Number.NaN : this.readClock(fields[plan.clockIndex]!);
    if (plan.clockIndex >= 0 && Number.isNaN(clock)) {
      this.addBad(
        line,
        plan.clockIndex,
        this.isHeader(fields) ? 'the header again' : this.whyNoStamp(fields),
      );
      this.noteLost(fields);
      return;
    }
    const bad = plan.motion.findIndex(({ index }) =>
      Number.isNaN(parseCell(fields[index]!, plan.file.decimal)),
    );
    if (bad < 0) this.addMotion(fields, clock, line);
    else if (plan.motion.every(({ index }) => isMissing(fields[index]!)) && this.carriesEvent(fields))
      ++this.eventRows;
    else if (this.sparse.take(fields, this.rows, clock, line)) this.noteSparse(fields, line, bad);
    else this.addBadMotion(fields, line, bad);
    for (let i = 0; i < plan.tracks.length; ++i) {
      this.track(
        i,
        (fields[plan.tracks[i]!.index] ?? '').trim(),
        bad < 0 ? this.rows - 1 : this.rows - 0.5,
        clock,
      );
    }
  }

  /** Counts a row that was left out. `column` counts from 0; null where the whole row is at fault. */
  addBad(line: number, column: number | null, why: string): void {
    ++this.badRowCount;
    if (this.badRows.length >= BAD_ROWS_LISTED) return;
    this.badRows.push({ file: this.plan.file.name, line, column: column === null ? null : column + 1, why });
  }

  private noteSparse(fields: readonly string[], line: number, bad: number): void {
    if (this.sparseBadRows.length >= BAD_ROWS_LISTED) return;
    const { index } = this.plan.motion[bad]!;
    const why = whyNoNumber(fields[index]!, this.plan.file.decimal) ?? '';
    this.sparseBadRows.push({ file: this.plan.file.name, line, column: index + 1, why });
  }

  private addMotion(fields: readonly string[], clock: number, line: number): void {
    const { plan } = this;
    this.markLine(line);
    if (this.rows === this.capacity) this.grow(this.capacity * 2);
    if (plan.clockIndex >= 0) this.clockColumn[this.rows] = clock;
    for (let i = 0; i < plan.motion.length; ++i) {
      this.columns[i]![this.rows] = parseCell(fields[plan.motion[i]!.index]!, plan.file.decimal);
    }
    ++this.rows;
  }

  private addBadMotion(fields: readonly string[], line: number, bad: number): void {
    const { index } = this.plan.motion[bad]!;
    this.noteLost(fields);
    if (this.isHeader(fields)) this.addBad(line, null, 'the header again');
    else this.addBad(line, index, whyNoNumber(fields[index]!, this.plan.file.decimal) ?? 'not finite');
  }

  /** A row that cannot be read still took its time; a line without any number is no row: a capture ends there. */
  private noteLost(fields: readonly string[]): void {
    if (fields.some((field) => isNumber(field, this.plan.file.decimal))) this.lostRows.push(this.rows);
    else this.markBreak();
  }

  private hasRightLength(fields: readonly string[], line: number, isCutOff: boolean): boolean {
    const { columnCount } = this.plan.file;
    // A column of events may stand behind the others in those rows only that have one.
    const allowed = Math.max(columnCount, ...this.plan.tracks.map(({ index }) => index + 1));
    if (fields.every((field) => field.trim() === ''))
      this.addBad(line, null, 'every cell of the row is empty');
    else if (fields.length < columnCount) {
      const where = isCutOff ? 'the file ends in the middle of this row' : 'too few fields';
      this.addBad(line, null, `${where} (${fields.length} of ${columnCount})`);
    } else if (fields.slice(allowed).some((field) => field.trim() !== '')) {
      this.addBad(line, null, `too many fields (${fields.length}, not ${columnCount})`);
    } else return true;
    return false;
  }

  private clockParts(text: string): DecimalParts | null {
    if (this.plan.clockKind === 'decimal') {
      const plain = this.plan.file.decimal === ',' ? text.replace(',', '.') : text;
      return decimalParts(padPart(plain.trim(), this.plan.clockPartDigits));
    }
    if (this.plan.clockKind === 'timeOfDay') {
      const micros = parseTimeOfDay(text);
      return micros === null ? null : { high: 0, low: micros, fraction: 0 };
    }
    const moment = parseIso8601(text);
    if (!moment) return null;
    if (moment.isLeapSecond) ++this.leapSeconds;
    const whole = Math.floor(moment.seconds / 1000);
    return { high: whole, low: (moment.seconds - whole * 1000) * 1e6 + moment.micros, fraction: 0 };
  }

  private carriesEvent(fields: readonly string[]): boolean {
    return this.plan.tracks.some(({ index }) => !isMissing(fields[index] ?? ''));
  }

  private whyNoStamp(fields: readonly string[]): string {
    const cell = fields[this.plan.clockIndex]!.trim();
    return cell === '' ? 'the time is missing' : `"${shorten(cell)}" is no time stamp`;
  }

  private isHeader(fields: readonly string[]): boolean {
    const header = this.plan.headerFields;
    return header?.every((field, i) => field === fields[i]?.trim()) ?? false;
  }
}
