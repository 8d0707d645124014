import { CsvError, type Info, parse } from 'csv-parse/browser/esm/sync';
import type { LabelList, LabelOf, Labels } from './labels.ts';
import { type Entry, LabelsError, readLabel } from './labelsRead.ts';
import { TABLE_COLUMNS, type TableColumn } from './labelsWrite.ts';

/**
 * Reads what `formatLabelsCsv` writes, also with semicolons or tabs, other line ends, the columns in another order, and
 * columns of other names beside them.
 * @throws LabelsError  naming the line, and the column where one is at fault
 */
export function parseLabelsCsv(text: string): Labels {
  const [header, ...records] = parseRecords(text);
  if (!header) throw new LabelsError('the file is empty');
  const places = TABLE_COLUMNS.map((name) => header.cells.findIndex((cell) => cell.trim() === name));
  const missing = TABLE_COLUMNS.filter((name, i) => places[i] === -1 && REQUIRED.has(name));
  if (missing.length > 0) throw new LabelsError(`line ${header.line}: no column ${missing.join(', ')}`);
  const lists: { [List in LabelList]: LabelOf<List>[] } = {
    presses: [],
    spans: [],
    swings: [],
    gestures: [],
  };
  for (const { cells, line } of records) {
    const row = Object.fromEntries(TABLE_COLUMNS.map((name, i) => [name, cells[places[i]!] ?? ''])) as Row;
    addRow(lists, row, `line ${line}`);
  }
  return lists;
}

type Row = Readonly<Record<TableColumn, string>>;

const REQUIRED: ReadonlySet<TableColumn> = new Set(['what', 'startUs']);

function addRow(lists: { [List in LabelList]: LabelOf<List>[] }, row: Row, at: string): void {
  const { what, kind, button, by } = row;
  const [startUs, peakUs, endUs] = [number(row.startUs), number(row.peakUs), number(row.endUs)];
  const made = by === '' ? {} : { by };
  const entry: Entry = { kind, startUs, peakUs, endUs, ...made };
  switch (what) {
    case 'press':
      lists.presses.push(
        readLabel('presses', { downUs: startUs, button, intent: kind, ...made }, at, 'person'),
      );
      return;
    case 'span':
      lists.spans.push(readLabel('spans', entry, at, 'person'));
      return;
    case 'swing':
      lists.swings.push(readLabel('swings', entry, at, 'person'));
      return;
    case 'gesture':
      lists.gestures.push(readLabel('gestures', entry, at, 'person'));
      return;
    default:
      throw new LabelsError(`${at}.what must be press, span, swing or gesture, got ${JSON.stringify(what)}`);
  }
}

/** Digits only: other forms that `Number` takes (blanks, `1e3`, `0x10`) are no time of a label. */
function number(text: string): number {
  return /^\d+$/.test(text.trim()) ? Number(text) : Number.NaN;
}

const QUOTES_WRONG: Readonly<Record<string, string>> = {
  CSV_QUOTE_NOT_CLOSED: 'a quote opens and does not close',
  CSV_INVALID_CLOSING_QUOTE: 'a cell goes on behind its quotes',
  INVALID_OPENING_QUOTE: 'a cell that does not begin with a quote holds one',
};

/** Records that are not blank, each with the line that it begins in, from 1. @throws LabelsError  on a wrong quote */
function parseRecords(text: string): { readonly cells: readonly string[]; readonly line: number }[] {
  // One kind of line end between records; line ends inside quotes stay as they are.
  const table = text.replace(/"[^"]*"|\r\n?/g, (found) => (found[0] === '"' ? found : '\n'));
  try {
    const found = parse(table, {
      delimiter: delimiterOf(table),
      recordDelimiter: '\n',
      bom: true,
      info: true,
      raw: true,
      relaxColumnCount: true,
      skipRecordsWithEmptyValues: true,
    }) as unknown as readonly { readonly record: readonly string[]; readonly info: Info }[];
    let pairs = 0;
    return found.map(({ record: cells, info }) => {
      // The parser counts both characters of a CRLF.
      const line = info.lines - pairs - (cells.join().match(/[\r\n]/g)?.length ?? 0);
      pairs += cells.join().match(/\r\n/g)?.length ?? 0;
      return { cells, line };
    });
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const { code, lines, raw = '', message } = error;
    const said = QUOTES_WRONG[code] ?? message;
    if (code !== 'CSV_QUOTE_NOT_CLOSED') throw new LabelsError(`line ${lines}: ${said}`);
    // The unclosed quote takes in the rest of the table, so the record at fault is its end.
    const before = table.slice(0, table.length - String(raw).trimStart().length);
    throw new LabelsError(`line ${before.split(/\r\n|\r|\n/).length}: ${said}`);
  }
}

/** The header's names hold none of them, so the first that comes is it. */
function delimiterOf(text: string): string {
  return /^[^\n]*?([,;\t])/.exec(text)?.[1] ?? ',';
}
