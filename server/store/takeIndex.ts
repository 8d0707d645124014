import { readFile } from 'node:fs/promises';
import { crc32 } from 'node:zlib';
import { writeAtomic } from './atomicFile.ts';
import type { TakeSummary } from './documents.ts';

/**
 * `takes-index.json`: what the list says of each take, so that opening a workspace reads no document of a thousand. It may be
 * deleted at any time, and whatever of it is in doubt is read from the documents: all of it where it is damaged, written by
 * other code or "later" than now; a take's part where device, inode, size or either time of its `take.json` is another.
 *
 * What cannot be seen so: bytes that change though the system says that nothing was written (a failing disk, or a program that
 * writes to the disk below the file system); on a disk that keeps no time of change, such as FAT, another text of the same
 * length by a program that sets the time of writing back; and on a disk over the network, what its own cache hides. Whoever
 * opens the take reads the document itself, and the list follows.
 */
export const INDEX_NAME = 'takes-index.json';

export interface IndexedTake {
  readonly summary: TakeSummary;
  /** Of its sources, in order. */
  readonly sha256s: readonly string[];
  /** Of its document, as it was when the summary was made of it. */
  readonly stamp: string;
  /** Of its folder, when nothing half written lay there; '' where that was not known. */
  readonly folderStamp: string;
}

interface Head {
  readonly code: string;
  readonly writtenAtMs: number;
  /** Of all behind the first line. */
  readonly crc32: number;
}

/** Stands where the build puts a hash of all sources in: another program may tell something else of the same document. */
declare const SOURCES_STAMP: string | undefined;

/** Names the code that makes summaries; null where nobody knows, and no index is kept. */
export function codeOfSummaries(): string | null {
  return typeof SOURCES_STAMP === 'string' ? SOURCES_STAMP : null;
}

/** Takes by id; none where the index is missing, or any of it in doubt. */
export async function readIndex(
  path: string,
  code: string,
  nowMs: number,
): Promise<ReadonlyMap<string, IndexedTake>> {
  const text = await readFile(path, 'utf8').catch(() => '');
  const end = text.indexOf('\n');
  try {
    const head = JSON.parse(text.slice(0, end)) as Head;
    const body = text.slice(end + 1);
    // Once the clock was set back, a later change may carry an earlier time.
    const isSound = head.code === code && head.writtenAtMs <= nowMs && head.crc32 === crc32(body);
    const takes = isSound ? (JSON.parse(body) as IndexedTake[]) : [];
    return new Map(takes.map((take) => [take.summary.id, take]));
  } catch {
    return new Map();
  }
}

/** @throws what a disk gives that takes no file */
export function writeIndex(
  path: string,
  code: string,
  nowMs: number,
  takes: readonly IndexedTake[],
): Promise<void> {
  const body = JSON.stringify(takes);
  const head: Head = { code, writtenAtMs: nowMs, crc32: crc32(body) };
  return writeAtomic(path, `${JSON.stringify(head)}\n${body}`);
}
