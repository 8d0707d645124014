import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import { open } from 'node:fs/promises';
import type { LogSource } from '../ingest/ground/types.ts';
import type { SourceFile } from './documents.ts';

/** A source and where its bytes lie. */
export interface SourceOnDisk extends SourceFile {
  readonly path: string;
}

const CHUNK_BYTES = 256 * 1024;
const RESERVED = /^(con|prn|aux|nul|com[0-9]|lpt[0-9])(\.|$)/i;

/** The source as ingest reads it. */
export function logSource(source: Pick<SourceOnDisk, 'name' | 'path' | 'sizeBytes'>): LogSource {
  return {
    name: source.name,
    sizeBytes: source.sizeBytes,
    open: () => readChunks(source.path),
  };
}

/** A file's bytes, all through one buffer: each chunk is good until the next one is asked for. */
async function* readChunks(path: string): AsyncGenerator<Uint8Array> {
  const file = await open(path, 'r');
  try {
    // No Buffer: a slice of that would be no copy.
    const chunk = new Uint8Array(CHUNK_BYTES);
    for (;;) {
      const { bytesRead } = await file.read(chunk, 0, chunk.length);
      if (bytesRead === 0) return;
      yield chunk.subarray(0, bytesRead);
    }
  } finally {
    await file.close();
  }
}

/** What to do where a source is no longer what was added. */
export function howToPutBack({ path }: SourceOnDisk): string {
  return `Put the file back as it was, to ${path}, or add the recording again.`;
}

/** Lower-case hex. */
export async function sha256OfFile(path: string): Promise<string> {
  const hash = createHash('sha256');
  for await (const chunk of createReadStream(path, { highWaterMark: CHUNK_BYTES })) hash.update(chunk);
  return hash.digest('hex');
}

/** Number of UTF-16 units and of bytes that every file system takes in a name, with room for a number before it. */
const UNITS_AT_MOST = 100;
const BYTES_AT_MOST = 240;

/**
 * File names on disk for the user's own names of a take's sources: the same where every system takes them as they
 * are, otherwise with the odd characters replaced; never two alike, never a path.
 */
export function sourceFileNames(names: readonly string[]): string[] {
  return uniqueNames(names, keepEnd);
}

/** The names of sources that were kept before a take's document said them: their ends were cut between any two units. */
export function olderFileNames(names: readonly string[]): string[] {
  return uniqueNames(names, (name) => name.slice(-UNITS_AT_MOST));
}

function uniqueNames(names: readonly string[], cut: (name: string) => string): string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const safe = safeFileName(name, cut);
    let unique = safe;
    for (let i = 2; taken.has(unique.toLowerCase()); ++i) unique = `${i}-${safe}`;
    taken.add(unique.toLowerCase());
    return unique;
  });
}

/** The end of a name in whole characters: half of one would be another character on disk, the same for many names. */
function keepEnd(name: string): string {
  const characters = Array.from(new Intl.Segmenter('und').segment(name), ({ segment }) => segment);
  let from = characters.length;
  let [units, bytes] = [0, 0];
  while (from > 0) {
    units += characters[from - 1]!.length;
    bytes += Buffer.byteLength(characters[from - 1]!);
    if (units > UNITS_AT_MOST || bytes > BYTES_AT_MOST) break;
    --from;
  }
  return characters.slice(from).join('');
}

function safeFileName(name: string, cut: (name: string) => string): string {
  const whole = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N} ._()+-]/gu, '_')
    .replace(/^[. ]+/, '');
  const safe = cut(whole)
    .replace(/^[. ]+/, '')
    .replace(/[. ]+$/, '');
  if (safe === '') return 'log';
  return RESERVED.test(safe) ? `_${safe}` : safe;
}
