import { statSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { basename } from 'node:path';
import type { LogSource } from '../ingest/ground/types.ts';

const CHUNK_BYTES = 256 * 1024;

/** A log as the command names it. */
export interface NamedSource extends LogSource {
  readonly path: string;
}

/** A file on disk as a source of a log. @throws Error of the file system where there is no such file */
export function fileSource(path: string): NamedSource {
  const stat = statSync(path);
  if (!stat.isFile()) {
    const code = stat.isDirectory() ? 'EISDIR' : 'ENOTFILE';
    throw Object.assign(new Error(`${path} is no file`), { code });
  }
  return { path, name: basename(path), sizeBytes: stat.size, open: () => readChunks(path) };
}

/** Reads one chunk ahead into two buffers by turns: a chunk is good until the next one is asked for. */
async function* readChunks(path: string): AsyncGenerator<Uint8Array> {
  const file = await open(path);
  const buffers = [new Uint8Array(CHUNK_BYTES), new Uint8Array(CHUNK_BYTES)] as const;
  let ahead: Promise<{ bytesRead: number }> | null = null;
  try {
    ahead = file.read(buffers[0], 0, CHUNK_BYTES);
    for (let turn = 0; ; turn ^= 1) {
      const { bytesRead } = await ahead;
      if (bytesRead === 0) return;
      ahead = file.read(buffers[turn ^ 1]!, 0, CHUNK_BYTES);
      yield buffers[turn]!.subarray(0, bytesRead);
    }
  } finally {
    await ahead?.catch(() => {});
    await file.close();
  }
}
