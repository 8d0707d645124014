import { createReadStream, statSync } from 'node:fs';
import { basename } from 'node:path';
import type { LogSource } from '../ingest/types.ts';

const CHUNK_BYTES = 256 * 1024;

/** A file on disk as a source of a log. @throws Error of the file system where there is no such file */
export function fileSource(path: string): LogSource {
  const stat = statSync(path);
  if (!stat.isFile()) throw Object.assign(new Error(`${path} is no file`), { code: 'EISDIR' });
  return {
    name: basename(path),
    sizeBytes: stat.size,
    open: () => createReadStream(path, { highWaterMark: CHUNK_BYTES }),
  };
}
