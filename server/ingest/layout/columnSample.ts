import { isMissing, isNumber, parseCell } from '../text/cells.ts';
import { parseIso8601, parseTimeOfDay } from '../text/iso8601.ts';
import type { TextRecord } from '../text/records.ts';
import { decimalParts, padPart, partsDifference, unpaddedDigits } from '../text/stamps.ts';

type CellKind = 'number' | 'iso8601' | 'timeOfDay' | 'text' | 'empty';

/** What the head of a file shows of one column. */
export interface ColumnSample {
  readonly kind: CellKind;
  /** NaN where a cell holds no number. */
  readonly values: Float64Array;
  /** value - first value, exact where `values` is rounded (epoch nanoseconds). */
  readonly sinceFirst: Float64Array;
  readonly missingShare: number;
  readonly isWhole: boolean;
  /**
   * Digits behind the point of stamps in s whose fraction is not padded; the values are read accordingly. 0 for all
   * others.
   */
  readonly unpadded: number;
  /** Up to 40 different texts, without blanks around them. */
  readonly distinct: readonly string[];
}

const DISTINCT_AT_MOST = 40;
const MOST = 0.5;

/** Samples every column of the table's head. Columns from `columnCount` on stand in some rows only. */
export function sampleColumns(
  data: readonly TextRecord[],
  columnCount: number,
  nameCount: number,
  decimal: '.' | ',',
): ColumnSample[] {
  const rows = data.filter(({ fields }) => fields.length >= columnCount && fields.length <= nameCount);
  return Array.from({ length: nameCount }, (_, column) => {
    const cells = rows.map(({ fields }) => fields[column]?.trim() ?? '');
    return sampleColumn(cells, decimal);
  });
}

function sampleColumn(texts: readonly string[], decimal: '.' | ','): ColumnSample {
  const written = texts.filter((cell) => !isMissing(cell));
  const unpadded = unpaddedDigits(written);
  const padded = (cell: string) => padPart(cell.replace(',', '.'), unpadded);
  const cells = unpadded === 0 ? texts : texts.map(padded);
  const present = unpadded === 0 ? written : written.map(padded);
  const values = Float64Array.from(cells, (cell) => parseCell(cell, decimal));
  return {
    kind: cellKind(present, values),
    values,
    sinceFirst: sinceFirst(cells, values, decimal),
    missingShare: cells.length === 0 ? 1 : 1 - present.length / cells.length,
    isWhole: values.every((value) => Number.isNaN(value) || Number.isInteger(value)),
    unpadded,
    distinct: firstDistinct(texts),
  };
}

/** The kind of most cells: a log may hold many bad rows. */
function cellKind(present: readonly string[], values: Float64Array): CellKind {
  if (present.length === 0) return 'empty';
  let numbers = 0;
  for (let i = 0; i < values.length; ++i) if (!Number.isNaN(values[i]!)) ++numbers;
  if (numbers / present.length >= MOST) return 'number';
  const share = (test: (cell: string) => boolean) => present.filter(test).length / present.length;
  if (share((cell) => parseIso8601(cell) !== null) >= MOST) return 'iso8601';
  return share((cell) => parseTimeOfDay(cell) !== null) >= MOST ? 'timeOfDay' : 'text';
}

/** Only stamps of 16 digits and more need their parts. */
function sinceFirst(cells: readonly string[], values: Float64Array, decimal: '.' | ','): Float64Array {
  const first = values.find((value) => !Number.isNaN(value)) ?? 0;
  if (!values.some((value) => Math.abs(value) > Number.MAX_SAFE_INTEGER))
    return values.map((value) => value - first);
  const parts = cells.map((cell) => (isNumber(cell, decimal) ? decimalParts(cell.replace(',', '.')) : null));
  const base = parts.find((part) => part !== null);
  return Float64Array.from(parts, (part) => (part && base ? partsDifference(part, base) : Number.NaN));
}

function firstDistinct(cells: readonly string[]): string[] {
  const distinct = new Set<string>();
  for (const cell of cells) {
    if (distinct.size >= DISTINCT_AT_MOST) break;
    distinct.add(cell);
  }
  return [...distinct];
}

/** Up to 40 different texts of the column, the empty one left out. */
export function presentTexts({ distinct }: ColumnSample): string[] {
  return distinct.filter((text) => text !== '');
}

/** True where the column shows nothing but the states of a button, one of them or both. */
export function isTwoState(sample: ColumnSample): boolean {
  const present = presentTexts(sample);
  if (present.length === 0) return false;
  return present.every((text) => /^(0|1|true|false|on|off)$/i.test(text)) || switches(sample);
}

/** True where the column shows 0 and 1 and no other number, however it writes them: no sensor does. */
export function switches({ kind, values }: ColumnSample): boolean {
  const isBit = (value: number) => value === 0 || value === 1 || Number.isNaN(value);
  return kind === 'number' && values.includes(0) && values.includes(1) && values.every(isBit);
}

/** Steps between successive numbers, in file order. */
export function stepsOf(sample: ColumnSample): Float64Array {
  const steps = new Float64Array(sample.sinceFirst.length);
  let count = 0;
  let before = Number.NaN;
  for (const value of sample.sinceFirst) {
    if (Number.isNaN(value)) continue;
    if (!Number.isNaN(before)) steps[count++] = value - before;
    before = value;
  }
  return steps.subarray(0, count);
}

/** The value of the first cell that is a number, NaN where there is none. */
export function firstValue(sample: ColumnSample): number {
  return sample.values.find((value) => !Number.isNaN(value)) ?? Number.NaN;
}
