import { BELONGS, fileKindOf } from '../../engine/base/fileKind.ts';
import { LogFormatError } from '../../errors.ts';
import { foreignUnitIn, readForeignUnit } from '../ground/foreignUnits.ts';
import { rateUnitAmong } from '../ground/nameParts.ts';
import { type NameReading, readName } from '../ground/names.ts';
import { COLUMNS_AT_MOST, type FileMapping, type LogSource } from '../ground/types.ts';
import { meansCodes, readUnit } from '../ground/units.ts';
import { decodeText } from '../text/decode.ts';
import { type Head, readDialect } from '../text/dialect.ts';
import { joinBytes, openText } from '../text/openText.ts';
import { sampleColumns } from './columnSample.ts';
import { commonestLength, type Layout, readLayout } from './header.ts';
import { readNotes, type StatedFacts } from './notes.ts';
import { channelsOnSide } from './onItsSide.ts';
import { readSiblings } from './siblingNames.ts';
import type { NamedColumn } from './triples.ts';
import { readValues } from './valueNames.ts';

/** What the first part of a file tells. */
export interface FileHead {
  readonly name: string;
  readonly mapping: FileMapping;
  readonly layout: Layout;
  readonly facts: StatedFacts;
  readonly columns: readonly NamedColumn[];
  /** First records as text, header included. */
  readonly preview: readonly (readonly string[])[];
}

const HEAD_BYTES = 512 * 1024;
const PREVIEW_RECORDS = 12;

/**
 * Reads the first half megabyte of a file: dialect, header, names, samples of each column.
 * @throws LogFormatError  where it holds no table of numbers
 */
export async function readFileHead(source: LogSource, file: number): Promise<FileHead> {
  const { bytes, whole, header } = await readHead(source, HEAD_BYTES);
  const content = wholeLines(decodeText(bytes), whole);
  const text = header === null ? content : `${header}\n${content}`;
  if (text.trim() === '') throw new LogFormatError('the file is empty', { file: source.name });
  refuseOtherText(text, source.name);
  const head = readDialect(text);
  refuseOnItsSide(head, source.name);
  refuseTooWide(commonestLength(head.records, head.dialect.decimal), head, whole, source.name);
  const layout = readLayout(head);
  if (!layout)
    throw new LogFormatError(whyNoTable(head), { file: source.name, line: head.records[0]?.line ?? 1 });
  if (layout.data.length === 0)
    throw new LogFormatError('it has a header and no rows: nothing was recorded, or it was cut off', {
      file: source.name,
    });
  refuseTooWide(layout.names.length, head, whole, source.name);
  const { columnCount } = layout;
  const lines =
    header === null
      ? { headerLine: layout.headerLine, firstDataLine: layout.firstDataLine }
      : { headerLine: null, firstDataLine: layout.firstDataLine - 1 };
  return {
    name: source.name,
    mapping: { name: source.name, ...head.dialect, ...lines, columnCount },
    layout,
    facts: readNotes(layout.notes),
    columns: readValues(readSiblings(readColumns(file, layout, head.dialect.decimal, source.name))),
    preview: head.records.slice(0, PREVIEW_RECORDS).map(({ fields }) => fields),
  };
}

/** The first `limit` bytes of the text (less where the file is shorter), whether they are all of it, and its header. */
async function readHead(
  source: LogSource,
  limit: number,
): Promise<{ bytes: Uint8Array; whole: boolean; header: string | null }> {
  const { header, chunks } = await openText(source);
  const parts: Uint8Array[] = [];
  let length = 0;
  let whole = true;
  for await (const chunk of chunks) {
    // The source may reuse its buffer for the next chunk.
    parts.push(chunk.slice(0, limit - length));
    length += parts.at(-1)!.length;
    if (length < limit) continue;
    whole = false;
    break;
  }
  return { bytes: joinBytes(parts), whole, header };
}

function readColumns(file: number, layout: Layout, decimal: '.' | ',', fileName: string): NamedColumn[] {
  const samples = sampleColumns(layout.data, layout.columnCount, layout.names.length, decimal);
  const context = readName(fileName.replace(/\.[^.]*$/, '').replace(/^.*[\\/]/, ''));
  return samples.map((sample, index) => {
    const cell = layout.units[index]!;
    const name = layout.names[index]!;
    const named = inContext(readName(layout.headerLine === null ? '' : name), context);
    return {
      file,
      index,
      name,
      reading: withUnitOf(named, name, cell),
      rowUnit: readUnit(cell)?.unit ?? (named.kind === 'gyro' ? angleUnit(cell) : null),
      rowCodes: meansCodes(cell),
      sample,
    };
  });
}

/** Under a rate, the unit of an angle stands for that angle a second. */
function angleUnit(cell: string): string | null {
  return rateUnitAmong([cell.trim().toLowerCase()])?.unit ?? null;
}

/** A unit of something else says what a column holds that has no telling name. */
function withUnitOf(reading: NameReading, name: string, unitCell: string): NameReading {
  const what = reading.kind === 'unknown' ? (readForeignUnit(unitCell) ?? foreignUnitIn(name)) : null;
  return what === null ? reading : { ...reading, kind: 'other', what };
}

/** A column that only says `x`, or `gx`, is what the file's name says, unless it states a unit of something else. */
function inContext(reading: NameReading, context: NameReading): NameReading {
  const quantity = reading.unit?.quantity ?? context.kind;
  const isBare =
    reading.axis !== null &&
    (reading.kind === 'unknown' || reading.group === '') &&
    (reading.kind === 'unknown' || quantity === context.kind);
  return isBare && (context.kind === 'gyro' || context.kind === 'accel')
    ? { ...reading, kind: context.kind, traits: context.traits }
    : reading;
}

/** Cuts a line that the end of the head has torn. */
function wholeLines(text: string, whole: boolean): string {
  if (whole) return text;
  const end = Math.max(text.lastIndexOf('\n'), text.lastIndexOf('\r'));
  return end < 0 ? text : text.slice(0, end + 1);
}

function refuseOtherText(text: string, file: string): void {
  const kind = fileKindOf(text);
  if (kind !== null) throw new LogFormatError(BELONGS[kind], { file });
  const start = text.trimStart().slice(0, 200).toLowerCase();
  if (/^(\{|\[\s*[{[\d"])/.test(start))
    throw new LogFormatError(
      'this is JSON over several lines: write one object a line, or export it as CSV',
      { file },
    );
  if (/^<(\?xml|!doctype|html|[a-z]+[ >])/.test(start)) {
    throw new LogFormatError('this is HTML or XML, not rows of text: export it as CSV', { file });
  }
}

function refuseOnItsSide(head: Head, file: string): void {
  const channels = channelsOnSide(head);
  if (channels === null) return;
  throw new LogFormatError(
    `the table lies on its side: each line holds one channel (${listed(channels)}). Transpose it, so that each row is one moment and each column one channel, and add it again`,
    { file, line: head.records[0]!.line },
  );
}

/** @param whole  false where the last line may be torn. @throws LogFormatError  where a table is too wide: the line, and what to do */
function refuseTooWide(columnCount: number, head: Head, whole: boolean, file: string): void {
  if (columnCount <= COLUMNS_AT_MOST) return;
  const line = head.records.find(({ fields }) => fields.length >= columnCount)?.line ?? 1;
  const isTorn = !whole && head.records.length === 1;
  throw new LogFormatError(
    `the table has ${isTorn ? 'at least ' : ''}${columnCount} columns, and at most ${COLUMNS_AT_MOST} are read: export it without those that hold neither motion nor time nor buttons, mend the line if it holds several rows, or transpose the table if each line holds one channel`,
    { file, line },
  );
}

function whyNoTable(head: Head): string {
  const longest = Math.max(0, ...head.records.map(({ fields }) => fields.length));
  if (longest < 2) return 'no rows of several fields: this is no motion log (expected columns of numbers)';
  if (isHeaderAlone(head))
    return `it has a header (${listed(head.records[0]!.fields)}) and no rows: nothing was recorded, or it was cut off`;
  return 'no table of numbers starts in the first lines: this is no motion log';
}

/** True where nothing stands but names of columns, two of them at least those of a motion log, and perhaps their units. */
function isHeaderAlone({ records }: Head): boolean {
  const telling = records[0]!.fields.filter((name) =>
    /^(gyro|accel|time|button)$/.test(readName(name.trim()).kind),
  );
  return telling.length > 1 && records.length <= 2;
}

function listed(names: readonly string[]): string {
  const shown = names.slice(0, 12).map((name) => name.trim());
  return names.length > shown.length ? `${shown.join(', ')}, ...` : shown.join(', ');
}
