import { upperMedian } from '../../engine/statistics/sorted.ts';
import { readForeignUnit } from '../ground/foreignUnits.ts';
import { readName } from '../ground/names.ts';
import { meansCodes, readUnit } from '../ground/units.ts';
import { isMissing, isNumber } from '../text/cells.ts';
import type { Head } from '../text/dialect.ts';
import type { TextRecord } from '../text/records.ts';
import { needsGroups, spreadGroups } from './headerGroups.ts';

/** Where a file's table starts and what its header says of each column. */
export interface Layout {
  readonly columnCount: number;
  /** The last header line, counting from 1; null where there is none. */
  readonly headerLine: number | null;
  readonly firstDataLine: number;
  /** One for each column: the header's text, or `column 3`. More than `columnCount` where some rows are longer. */
  readonly names: readonly string[];
  /** Text of a row of units without brackets, '' where there is none. */
  readonly units: readonly string[];
  /** Lines before the table and comments, fields joined by blanks: they may state rates, ranges and units. */
  readonly notes: readonly string[];
  /** Records of the table within the head. */
  readonly data: readonly TextRecord[];
}

const HEADER_ROWS_AT_MOST = 6;
/** Fields that the header may have more or less than most rows. */
const LEFT_OUT_AT_MOST = 2;
/** Some programs write all their settings above the table. */
const PREAMBLE_AT_MOST = 300;

/** Finds the table in the head of a file; null where no two of its first lines look like rows of numbers. */
export function readLayout(head: Head): Layout | null {
  const { records } = head;
  const decimal = head.dialect.decimal;
  const columnCount = commonestLength(records, decimal);
  if (columnCount < 2) return null;
  const numbers = records.map(({ fields }) => fields.filter((field) => isNumber(field, decimal)).length);
  const typical = upperMedian(numbers.filter((_, i) => hasLength(records[i]!, columnCount)));
  const enough = Math.max(1, Math.ceil(typical / 2));
  let first = records.findIndex((record, i) => hasLength(record, columnCount) && numbers[i]! >= enough);
  if (first < 0 || first > PREAMBLE_AT_MOST) return null;
  if (first === 0 && isCount(records[0]!)) first = 1;
  const rows = headerRows(records, first, columnCount, decimal);
  const from = first - rows.length;
  const firstDataLine = records[first]?.line ?? records.at(-1)!.line;
  const fromComment = rows.length === 0 ? commentHeader(head, firstDataLine, columnCount) : null;
  const nameRows = fromComment ? [fromComment] : rows;
  // Rows may leave out their last fields where these are empty, as a column of events mostly is.
  const nameCount = Math.max(columnCount, ...nameRows.map(({ fields }) => lastFilled(fields)));
  const named = nameColumns(nameRows, nameCount);
  const notes = [
    ...records.slice(0, from).map(({ fields }) => fields.filter((field) => field !== '').join(' ')),
    ...head.comments.map(({ text }) => text),
  ];
  const headerLine = fromComment?.line ?? rows.at(-1)?.line ?? null;
  return { columnCount, headerLine, firstDataLine, ...named, notes, data: records.slice(first) };
}

/** How many fields the rows of numbers have: the number of fields under which the most numbers stand; 0 for none. */
export function commonestLength(records: readonly TextRecord[], decimal: '.' | ','): number {
  const weights = new Map<number, number>();
  for (const { fields } of records) {
    const numbers = fields.filter((field) => isNumber(field, decimal)).length;
    weights.set(fields.length, (weights.get(fields.length) ?? 0) + numbers);
  }
  let best = 0;
  for (const [length, weight] of weights) if (length > 1 && weight > (weights.get(best) ?? 0)) best = length;
  return best;
}

function hasLength({ fields }: TextRecord, columnCount: number): boolean {
  return fields.length === columnCount;
}

/** `0,1,2,3`: column numbers that a program wrote in place of names. */
function isCount({ fields }: TextRecord): boolean {
  const start = Number(fields[0]);
  return (
    fields.length > 3 &&
    (start === 0 || start === 1) &&
    fields.every((field, i) => field.trim() === String(start + i))
  );
}

/** The rows right above the data that hold names, groups or units, topmost first. */
function headerRows(
  records: readonly TextRecord[],
  first: number,
  count: number,
  decimal: '.' | ',',
): TextRecord[] {
  if (first === 1 && isCount(records[0]!)) return [];
  const rows: TextRecord[] = [];
  for (let i = first - 1; i >= 0 && rows.length < HEADER_ROWS_AT_MOST; --i) {
    const { fields } = records[i]!;
    const filled = fields.filter((field) => !isMissing(field));
    const numbers = filled.filter((field) => isNumber(field, decimal)).length;
    const isGroups = rows.length > 0 && needsGroups(rows[0]!.fields) && namesMotion(filled);
    const fits =
      fields.length === count ||
      (rows.length === 0 && Math.abs(fields.length - count) <= LEFT_OUT_AT_MOST) ||
      // Merged cells lose those behind the last name, and a delimiter may stand at the end of the line.
      (isGroups && filled.length > 1 && lastFilled(fields) <= Math.max(count, ...rows.map(lengthOf)));
    if (!fits || filled.length === 0 || numbers * 5 > filled.length) break;
    if (filled.length * 2 < count && !namesMotion(filled) && !isUnitRow(fields)) break;
    rows.unshift(records[i]!);
  }
  return rows;
}

function lengthOf({ fields }: TextRecord): number {
  return fields.length;
}

function namesMotion(fields: readonly string[]): boolean {
  return fields.some((field) => /^(gyro|accel)$/.test(readName(field).kind));
}

/** `# time, ax, ay`: a header written as the last comment above the data. */
function commentHeader(head: Head, firstDataLine: number, count: number): TextRecord | null {
  const comment = head.comments.filter(({ line }) => line < firstDataLine).at(-1);
  if (!comment) return null;
  const { delimiter, decimal } = head.dialect;
  const fields = delimiter === ' ' ? comment.text.split(/[ \t]+/) : comment.text.split(delimiter);
  const hasNumbers = fields.some((field) => isNumber(field, decimal));
  return fields.length === count && !hasNumbers ? { line: comment.line, fields } : null;
}

function nameColumns(rows: readonly TextRecord[], count: number): { names: string[]; units: string[] } {
  const unitRow = rows.length > 1 ? (rows.find((row) => isUnitRow(row.fields)) ?? null) : null;
  const nameRows = rows
    .filter((row) => row !== unitRow)
    .map((row, i, all) => spreadGroups(row.fields, all[i + 1]?.fields));
  const telling = nameRows.filter((fields) => nameRows.length === 1 || !isSameThroughout(fields));
  const names = Array.from({ length: count }, (_, column) => {
    const cells = telling.map((fields) => (fields[column] ?? '').trim()).filter((cell) => cell !== '');
    return [...new Set(cells)].join(' ') || `column ${column + 1}`;
  });
  return { names, units: Array.from({ length: count }, (_, i) => bareUnit(unitRow?.fields[i] ?? '')) };
}

function lastFilled(fields: readonly string[]): number {
  return fields.findLastIndex((field) => field.trim() !== '') + 1;
}

function isSameThroughout(fields: readonly string[]): boolean {
  const filled = fields.filter((field) => field.trim() !== '');
  return filled.length > 2 && new Set(filled).size === 1;
}

/** `[ms]` is `ms`. */
function bareUnit(field: string): string {
  return field.trim().replace(/^[([](.*)[)\]]$/, '$1');
}

function isUnitRow(fields: readonly string[]): boolean {
  const filled = fields.map(bareUnit).filter((field) => field !== '');
  const units = filled.filter(
    (field) => readUnit(field) !== null || meansCodes(field) || readForeignUnit(field) !== null,
  );
  return units.length * 2 > filled.length;
}
