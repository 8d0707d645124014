import { isDelimiter } from '../ground/types.ts';
import { isMissing, isNumber } from './cells.ts';
import { recordEnd, splitRecord, type TextRecord } from './records.ts';
import { CR, LF } from './scanCells.ts';

/** How the fields of a file are told apart. A delimiter of one blank stands for any run of blanks. */
export interface Dialect {
  readonly delimiter: string;
  readonly decimal: '.' | ',';
  readonly comment: string | null;
}

/** The head of a file, cut into records. */
export interface Head {
  readonly dialect: Dialect;
  /** In file order, without comments and blank lines. */
  readonly records: readonly TextRecord[];
  /** Comment lines, their mark taken off. */
  readonly comments: readonly { readonly line: number; readonly text: string }[];
}

const DELIMITERS = [',', ';', '\t', '|', ' '] as const;
const COMMENT_MARKS = ['#', '//', '%'] as const;
const LINES_WEIGHED = 1000;
/** Blanks also stand beside real delimiters: they must do clearly better to be one. */
const BLANKS_TRUST = 0.9;

/** Finds the dialect of a file from its first text, by the split that yields most numbers in rows of one length. */
export function readDialect(text: string): Head {
  const comment = findComment(text);
  const declared = /^\s*"?sep=(.)"?[ \t,;]*\r?\n/i.exec(text)?.[1] ?? null;
  const declares = declared !== null && isDelimiter(declared);
  let best: { score: number; head: Head } | null = null;
  for (const delimiter of declares ? [declared] : DELIMITERS) {
    const records = cut(text, delimiter, comment, LINES_WEIGHED);
    for (const decimal of ['.', ','] as const) {
      const plain = weigh(records, decimal);
      const score = delimiter === ' ' && plain > 0 ? plain * BLANKS_TRUST : plain;
      if (best && score <= best.score) continue;
      best = { score, head: { dialect: { delimiter, decimal, comment }, records, comments: [] } };
    }
  }
  const { dialect } = best!.head;
  return {
    dialect,
    records: cut(text, dialect.delimiter, comment, Infinity),
    comments: commentLines(text, comment),
  };
}

/**
 * Numbers per row, rows being the records of the commonest length that hold any, times the share of such records. A
 * decimal comma must earn its place: it counts only where cells need it.
 */
function weigh(records: readonly TextRecord[], decimal: '.' | ','): number {
  const counts = new Map<number, number>();
  for (const { fields } of records) counts.set(fields.length, (counts.get(fields.length) ?? 0) + 1);
  let length = 0;
  for (const [fields, count] of counts) {
    if (fields > 1 && count * fields > (counts.get(length) ?? 0) * length) length = fields;
  }
  if (length === 0) return -2;
  const fitting = records.filter(({ fields }) => fields.length === length);
  if (decimal === ',' && !fitting.some(({ fields }) => fields.some((field) => field.includes(','))))
    return -1;
  const rows = fitting.filter(({ fields }) => fields.some((field) => isNumber(field, decimal)));
  let numbers = 0;
  let other = 0;
  let commas = 0;
  for (const { fields } of rows) {
    for (const field of fields) {
      if (isNumber(field, decimal)) ++numbers;
      else if (!isMissing(field)) ++other;
      if (decimal === ',' && field.includes(',')) ++commas;
    }
  }
  if (rows.length === 0 || (decimal === ',' && commas === 0)) return -1;
  return ((numbers - 0.5 * other) / rows.length) * (fitting.length / records.length) + 1e-3 * length;
}

function cut(text: string, delimiter: string, comment: string | null, limit: number): TextRecord[] {
  const records: TextRecord[] = [];
  const hasQuotes = text.includes('"');
  let line = 1;
  for (let at = 0; at < text.length && records.length < limit; ) {
    const isComment = comment !== null && text.startsWith(comment, at);
    let end = isComment || !hasQuotes ? lineEnd(text, at) : recordEnd(text, at, delimiter);
    // A quote that never closes ends with its line; so does a file without a last line end.
    if (end < 0 || end - at > 65_536) end = lineEnd(text, at);
    const record = withoutLineEnd(text.slice(at, end));
    if (!isComment && record.trim() !== '') {
      const fields = splitRecord(record, delimiter);
      records.push({ line, fields: typeof fields === 'string' ? record.split(delimiter) : fields });
    }
    line += hasQuotes ? countLines(text, at, end) : 1;
    at = end;
  }
  return records;
}

/** The index just past the line that holds `at`. */
function lineEnd(text: string, at: number): number {
  for (let i = at; i < text.length; ++i) {
    const c = text.charCodeAt(i);
    if (c === LF) return i + 1;
    if (c === CR) return text.charCodeAt(i + 1) === LF ? i + 2 : i + 1;
  }
  return text.length;
}

function withoutLineEnd(text: string): string {
  if (text.endsWith('\r\n')) return text.slice(0, -2);
  return text.endsWith('\n') || text.endsWith('\r') ? text.slice(0, -1) : text;
}

function countLines(text: string, from: number, to: number): number {
  return text.slice(from, to).match(/\r\n|\n|\r/g)?.length ?? 0;
}

/** The mark that starts some of the first lines, unless every line starts with it. */
function findComment(text: string): string | null {
  const lines = text.split(/\r\n|\n|\r/, LINES_WEIGHED).filter((line) => line.trim() !== '');
  for (const mark of COMMENT_MARKS) {
    const marked = lines.filter((line) => line.startsWith(mark)).length;
    if (marked > 0 && marked < lines.length) return mark;
  }
  return null;
}

function commentLines(text: string, comment: string | null): { line: number; text: string }[] {
  if (comment === null) return [];
  return text
    .split(/\r\n|\n|\r/)
    .map((content, i) => ({ line: i + 1, text: content }))
    .filter((entry) => entry.text.startsWith(comment))
    .map((entry) => ({ line: entry.line, text: entry.text.slice(comment.length).trim() }));
}
