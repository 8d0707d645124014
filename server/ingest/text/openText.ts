import type { LogSource } from '../ground/types.ts';
import { decodedBytes, decodeText } from './decode.ts';
import { readJsonLines } from './jsonLines.ts';
import { readLabelled, stampedLines } from './labelledLines.ts';
import { readLongRows } from './longRows.ts';
import { plainNumbers } from './plainNumbers.ts';
import { readPrintedLines } from './printedLines.ts';
import type { LineRewrite } from './rewrite.ts';

/** Text of a log, and the names that its lines state. */
interface OpenText {
  readonly header: string | null;
  readonly chunks: AsyncIterable<Uint8Array>;
}

/** What is looked at to know the layout. */
const WEIGHED_BYTES = 64 * 1024;
const READERS = [readJsonLines, readLabelled, stampedLines, plainNumbers, readLongRows] as const;

/**
 * The source's text as UTF-8, odd layouts rewritten into rows: cells that name themselves, rows of one sensor each,
 * numbers in hexadecimal or with their thousands set apart. All other files pass through as they are.
 * @throws LogFormatError  where the first bytes show that the file is no text
 */
export async function openText(source: LogSource): Promise<OpenText> {
  const rest = decodedBytes(source)[Symbol.asyncIterator]();
  const first = await readFirst(rest);
  const rewrites = findRewrites(joinBytes(first));
  const header = rewrites.findLast((rewrite) => rewrite.header !== null)?.header ?? null;
  const plain = rejoin(first, rest);
  return { header, chunks: rewrites.length === 0 ? plain : rewriteLines(plain, rewrites) };
}

/** One array of several. */
export function joinBytes(parts: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

async function readFirst(rest: AsyncIterator<Uint8Array>): Promise<Uint8Array[]> {
  // The source may reuse its buffer for the next chunk.
  const parts: Uint8Array[] = [];
  let length = 0;
  while (length < WEIGHED_BYTES) {
    const next = await rest.next();
    if (next.done) break;
    parts.push(next.value.slice());
    length += next.value.length;
  }
  return parts;
}

async function* rejoin(
  first: readonly Uint8Array[],
  rest: AsyncIterator<Uint8Array>,
): AsyncGenerator<Uint8Array> {
  try {
    yield* first;
    for (let next = await rest.next(); !next.done; next = await rest.next()) yield next.value;
  } finally {
    await rest.return?.();
  }
}

function findRewrites(first: Uint8Array): LineRewrite[] {
  // However the source is cut into chunks, the same whole lines are weighed.
  const part = first.subarray(0, WEIGHED_BYTES);
  const isAll = first.length < WEIGHED_BYTES;
  const end = isAll ? part.length : Math.max(part.lastIndexOf(10), part.lastIndexOf(13)) + 1;
  let lines = decodeText(part.subarray(0, end)).split(/\r\n|\n|\r/);
  const found: LineRewrite[] = [];
  for (const read of READERS) {
    const rewrite = read(lines);
    if (!rewrite) continue;
    found.push(rewrite);
    lines = lines.map((line) => rewrite.line(line));
  }
  const printed = found.some(({ header }) => header !== null) ? null : readPrintedLines(lines);
  return printed ? [...found, printed] : found;
}

async function* rewriteLines(
  chunks: AsyncIterable<Uint8Array>,
  rewrites: readonly LineRewrite[],
): AsyncGenerator<Uint8Array> {
  const encoder = new TextEncoder();
  const rewrite = (line: string) => rewrites.reduce((text, one) => one.line(text), line);
  let torn = new Uint8Array(0);
  for await (const chunk of chunks) {
    const bytes = joinBytes([torn, chunk]);
    // A CR at the end may be half of a CRLF.
    const end = Math.max(bytes.lastIndexOf(10), bytes.lastIndexOf(13, bytes.length - 2)) + 1;
    torn = bytes.slice(end);
    if (end > 0) yield encoder.encode(eachLine(decodeText(bytes.subarray(0, end)), rewrite));
  }
  if (torn.length > 0) yield encoder.encode(eachLine(decodeText(torn), rewrite));
}

function eachLine(text: string, rewrite: (line: string) => string): string {
  return text.replace(/[^\r\n]+/g, rewrite);
}
