import { parse } from 'csv-parse/sync';

/** One record of the file as text, and the line (from 1) on which it starts. */
export interface TextRecord {
  readonly line: number;
  readonly fields: readonly string[];
}

/**
 * Cuts one record's text (no line end at its end) into fields, by RFC 4180. A delimiter of one blank stands for
 * any run of blanks. Returns the reason as a string where the quoting is broken.
 */
export function splitRecord(text: string, delimiter: string): string[] | string {
  if (delimiter === ' ')
    return text
      .trim()
      .split(/[ \t]+/)
      .map(unquote);
  if (!text.includes('"')) return text.split(delimiter);
  try {
    const records = parse(text, {
      delimiter,
      relax_column_count: true,
      record_delimiter: ['\r\n', '\n', '\r'],
    });
    return records.length === 1 ? records[0]! : 'a quoted field breaks the row in two';
  } catch (error) {
    return error instanceof Error ? brokenQuote(error.message) : String(error);
  }
}

/**
 * The index just past the record that starts at `from` (its line end included), or -1 where the record may go on
 * beyond the text. Quoted fields may hold line ends.
 */
export function recordEnd(text: string, from: number, delimiter: string): number {
  let quoted = false;
  for (let i = from; i < text.length; ++i) {
    const c = text[i];
    if (c === '"') {
      if (quoted || i === from || text[i - 1] === delimiter) quoted = !quoted;
      else if (text[i - 1] === '"') quoted = true;
    } else if (!quoted && (c === '\n' || c === '\r')) {
      if (c === '\r' && i + 1 === text.length) return -1;
      return text[i + 1] === '\n' && c === '\r' ? i + 2 : i + 1;
    }
  }
  return -1;
}

function unquote(field: string): string {
  return /^".*"$/.test(field) ? field.slice(1, -1).replaceAll('""', '"') : field;
}

function brokenQuote(message: string): string {
  if (message.includes('Closing Quote')) return 'text follows a closing quote';
  if (message.includes('Opening Quote')) return 'a quote stands inside an unquoted field';
  if (/not closed/i.test(message)) return 'a quote is never closed';
  return message;
}
