import type { GestureLabel, Labels, PressLabel, SpanLabel, SwingLabel } from './labels.ts';
import { type Entry, LabelsError, readGesture, readPress, readSpan, readSwing } from './labelsRead.ts';

const COLUMNS = ['what', 'kind', 'startUs', 'peakUs', 'endUs', 'button', 'by'] as const;
type Column = (typeof COLUMNS)[number];
type Row = Readonly<Record<Column, string>>;

/**
 * Labels as a table, one a row: `what` is press, span, swing or gesture; `kind` a press's intent, else the kind; a press
 * has no end. Source of the form: RFC 4180, with CRLF.
 */
export function formatLabelsCsv({ presses, spans, swings, gestures = [] }: Labels): string {
  const rows: Partial<Record<Column, string | number>>[] = [
    ...presses.map(({ intent, downUs, button, by }) => ({
      what: 'press',
      kind: intent,
      startUs: downUs,
      button,
      by,
    })),
    ...spans.map((span) => ({ what: 'span', ...span })),
    ...swings.map((swing) => ({ what: 'swing', ...swing })),
    ...gestures.map((gesture) => ({ what: 'gesture', ...gesture })),
  ];
  const lines = [COLUMNS.join(','), ...rows.map((row) => COLUMNS.map((name) => cell(row[name])).join(','))];
  return `${lines.join('\r\n')}\r\n`;
}

/**
 * Reads what `formatLabelsCsv` writes, also with semicolons or tabs, other line ends, the columns in another order, and
 * columns of other names beside them.
 * @throws LabelsError  naming the line.
 */
export function parseLabelsCsv(text: string): Labels {
  const [header, ...records] = parseRecords(text.replace(/^\uFEFF/, ''));
  if (!header) throw new LabelsError('the file is empty');
  const places = COLUMNS.map((name) => header.cells.findIndex((cell) => cell.trim() === name));
  const missing = COLUMNS.filter((name, i) => places[i] === -1 && REQUIRED.has(name));
  if (missing.length > 0) throw new LabelsError(`line ${header.line}: no column ${missing.join(', ')}`);
  const lists = {
    presses: [] as PressLabel[],
    spans: [] as SpanLabel[],
    swings: [] as SwingLabel[],
    gestures: [] as GestureLabel[],
  };
  for (const { cells, line } of records) {
    const row = Object.fromEntries(COLUMNS.map((name, i) => [name, cells[places[i]!] ?? ''])) as Row;
    addRow(lists, row, `line ${line}`);
  }
  return lists;
}

const REQUIRED: ReadonlySet<Column> = new Set(['what', 'startUs']);

function addRow(
  lists: { presses: PressLabel[]; spans: SpanLabel[]; swings: SwingLabel[]; gestures: GestureLabel[] },
  row: Row,
  at: string,
): void {
  const { what, kind, button, by } = row;
  const entry: Entry = {
    kind,
    startUs: number(row.startUs),
    peakUs: number(row.peakUs),
    endUs: number(row.endUs),
    ...(by === '' ? {} : { by }),
  };
  switch (what) {
    case 'press':
      lists.presses.push(
        readPress({ ...entry, downUs: entry['startUs'], intent: kind, button }, at, 'person'),
      );
      return;
    case 'span':
      lists.spans.push(readSpan(entry, at, 'person'));
      return;
    case 'swing':
      lists.swings.push(readSwing(entry, at, 'person'));
      return;
    case 'gesture':
      lists.gestures.push(readGesture(entry, at, 'person'));
      return;
    default:
      throw new LabelsError(`${at}.what must be press, span, swing or gesture, got ${JSON.stringify(what)}`);
  }
}

/** Digits alone: what else `Number` takes (blanks, `1e3`, `0x10`) is no time that a label was given. */
function number(text: string): number {
  return /^\d+$/.test(text.trim()) ? Number(text) : Number.NaN;
}

function cell(value: string | number | undefined): string {
  const text = value === undefined ? '' : String(value);
  return /[",;\t\r\n]|^\s|\s$|^\uFEFF/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

interface CsvRecord {
  readonly cells: readonly string[];
  /** Of its first character, from 1. */
  readonly line: number;
}

/** Records that are not blank. @throws LabelsError  on a quote that does not end. */
function parseRecords(text: string): CsvRecord[] {
  const delimiter = delimiterOf(text);
  const records: CsvRecord[] = [];
  let cells: string[] = [];
  let line = 1;
  let from = 1;
  let at = 0;
  while (at < text.length) {
    const field = text[at] === '"' ? quoted(text, at, from) : plain(text, at, delimiter);
    cells.push(field.value);
    line += newlines(text, at, field.end);
    at = field.end;
    if (!isEnd(text[at], delimiter)) throw new LabelsError(`line ${line}: a cell goes on behind its quotes`);
    if (text[at] === delimiter) {
      at += 1;
      if (at < text.length) continue;
      cells.push('');
    }
    if (cells.some((value) => value.trim() !== '')) records.push({ cells, line: from });
    cells = [];
    if (text[at] === '\r' && text[at + 1] === '\n') at += 1;
    at += 1;
    line += 1;
    from = line;
  }
  return records;
}

/** The header's names hold none of them, so the first that comes is it. */
function delimiterOf(text: string): string {
  return /^[^\r\n]*?([,;\t])/.exec(text)?.[1] ?? ',';
}

function isEnd(character: string | undefined, delimiter: string): boolean {
  return character === undefined || character === delimiter || character === '\n' || character === '\r';
}

function plain(text: string, from: number, delimiter: string): { value: string; end: number } {
  let end = from;
  while (!isEnd(text[end], delimiter)) end += 1;
  return { value: text.slice(from, end), end };
}

function quoted(text: string, from: number, line: number): { value: string; end: number } {
  for (let at = from + 1; ; ) {
    const quote = text.indexOf('"', at);
    if (quote < 0) throw new LabelsError(`line ${line}: a quote opens and does not close`);
    if (text[quote + 1] !== '"') {
      return { value: text.slice(from + 1, quote).replaceAll('""', '"'), end: quote + 1 };
    }
    at = quote + 2;
  }
}

function newlines(text: string, from: number, end: number): number {
  let count = 0;
  for (let i = from; i < end; ++i)
    if (text[i] === '\n' || (text[i] === '\r' && text[i + 1] !== '\n')) ++count;
  return count;
}
