import { createHash } from 'node:crypto';
import { createReadStream } from 'node:fs';
import type { LogSource } from '../ingest/types.ts';
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
    open: () => createReadStream(source.path, { highWaterMark: CHUNK_BYTES }),
  };
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

/**
 * File names on disk for the user's own names of a take's sources: the same where every system takes them as they
 * are, otherwise with the odd characters replaced; never two alike, never a path.
 */
export function sourceFileNames(names: readonly string[]): string[] {
  const taken = new Set<string>();
  return names.map((name) => {
    const safe = safeFileName(name);
    let unique = safe;
    for (let i = 2; taken.has(unique.toLowerCase()); ++i) unique = `${i}-${safe}`;
    taken.add(unique.toLowerCase());
    return unique;
  });
}

function safeFileName(name: string): string {
  const safe = name
    .normalize('NFC')
    .replace(/[^\p{L}\p{N} ._()+-]/gu, '_')
    .replace(/^[. ]+/, '')
    .slice(-100)
    .replace(/^[. ]+/, '')
    .replace(/[. ]+$/, '');
  if (safe === '') return 'log';
  return RESERVED.test(safe) ? `_${safe}` : safe;
}
