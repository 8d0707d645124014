import { createHash } from 'node:crypto';
import { type FileHandle, open, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { WorkbenchError } from '../../errors.ts';
import type { LogReport, Mapping } from '../../ingest/ground/types.ts';
import { type LiveBatch, LiveRows } from '../../ingest/take/liveRows.ts';
import { systemCode } from '../errors.ts';
import type { KeepDeps } from './keepRecording.ts';
import { LOG_NAME } from './recordingFiles.ts';

/** How a log is read that is still being written. */
export interface LiveReading {
  readonly mapping: Mapping;
  readonly rateHz: number;
}

/** What is new of a recording. */
export interface LiveNews {
  /** The log's length by now. */
  readonly sizeBytes: number;
  /** A reading that begins here: what was shown before is to be forgotten. */
  readonly reading?: LiveReading;
  readonly batches: readonly LiveBatch[];
  /** Why no rows are shown, one plain sentence each; empty where they are. */
  readonly problems: readonly string[];
}

const FIRST_BYTES = 8 * 1024;
const LAST_LOOK_BYTES = 4 * 1024 * 1024;
/** So much of the log is shown when one begins to look on. */
const BACKLOG_BYTES = 1_500_000;
const BATCH_BYTES = 256 * 1024;
/** Lines of rows that are enough to know the layout by. */
const HEAD_ROWS = 40;
/** A rate that differs by less is the same one, better known. */
const SAME_RATE = 0.003;

/** Looks on while a recording is written, whoever writes it: its columns are guessed from its start, as an upload's. */
export class Follower {
  private readonly folder: string;
  private readonly deps: Pick<KeepDeps, 'ingest' | 'mappings'>;
  private log: FileHandle | null = null;
  private nextLook = FIRST_BYTES;
  private looking: Promise<void> | null = null;
  private readonly stop = new AbortController();
  private found: { readonly mapping: Mapping; readonly report: LogReport } | null = null;
  private isNew = false;
  private problems: readonly string[] = ['Waiting for the first rows.'];
  private rows: LiveRows | null = null;
  private at = 0;

  constructor(folder: string, deps: Pick<KeepDeps, 'ingest' | 'mappings'>) {
    this.folder = folder;
    this.deps = deps;
  }

  /** What came since the last call. Not to be called again before it has answered. */
  async next(): Promise<LiveNews> {
    this.log ??= await openIfThere(join(this.folder, LOG_NAME));
    if (this.log === null) return { sizeBytes: 0, batches: [], problems: this.problems };
    const { size } = await this.log.stat();
    if (size >= this.nextLook) this.lookAgain(size);
    if (this.isNew) return await this.begin(size);
    if (this.rows === null) return { sizeBytes: size, batches: [], problems: this.problems };
    return { sizeBytes: size, batches: await this.readOn(size), problems: this.problems };
  }

  async close(): Promise<void> {
    this.stop.abort();
    await this.looking;
    await this.log?.close();
    this.log = null;
  }

  /** The more of the log there is, the better it is known; each look is at twice as much as the one before. */
  private lookAgain(size: number): void {
    if (this.looking !== null || this.nextLook > LAST_LOOK_BYTES) return;
    this.nextLook = 2 * Math.max(this.nextLook, size);
    this.looking = this.look(Math.min(size, LAST_LOOK_BYTES)).finally(() => {
      this.looking = null;
    });
  }

  private async look(size: number): Promise<void> {
    const part = wholeLines(await this.bytesAt(0, size));
    const path = join(this.folder, 'look.csv');
    try {
      await writeFile(path, part);
      const sha256 = createHash('sha256').update(part).digest('hex');
      const memory = { mappings: this.deps.mappings.list(), apply: true };
      const sources = [{ name: LOG_NAME, path, sizeBytes: part.length, sha256 }];
      const { mapping, report, needs } = await this.deps.ingest.preview(
        { sources, overrides: {}, memory },
        { signal: this.stop.signal },
      );
      if (report !== null && needs.length === 0) this.take(mapping, report);
      else if (this.found === null) this.problems = needs;
    } catch (error) {
      // It may become a log yet; what is not the log's fault shows when it is made a take.
      if (this.found === null)
        this.problems = [error instanceof WorkbenchError ? error.message : String(error)];
    }
  }

  private take(mapping: Mapping, report: LogReport): void {
    const same = this.found !== null && isSame(this.found, { mapping, report });
    if (same) return;
    this.found = { mapping, report };
    this.isNew = true;
  }

  private async begin(size: number): Promise<LiveNews> {
    const { mapping, report } = this.found!;
    this.isNew = false;
    const head = await this.headOf(mapping);
    const rows = await LiveRows.open(head, mapping, report);
    if (typeof rows === 'string') {
      this.rows = null;
      this.problems = [rows];
      return { sizeBytes: size, batches: [], problems: this.problems };
    }
    this.rows = rows;
    this.problems = [];
    const isFromStart = size - head.length <= BACKLOG_BYTES;
    this.at = isFromStart ? head.length : await this.lineStart(size - BACKLOG_BYTES);
    const first = isFromStart ? [rows.readHead()] : [];
    const reading = { mapping, rateHz: report.rateHz };
    return { sizeBytes: size, reading, batches: [...first, ...(await this.readOn(size))], problems: [] };
  }

  private async headOf({ files }: Mapping): Promise<Buffer> {
    const { size } = await this.log!.stat();
    const bytes = wholeLines(await this.bytesAt(0, Math.min(size, BACKLOG_BYTES)));
    let end = 0;
    for (let line = 1; line < files[0]!.firstDataLine + HEAD_ROWS && end < bytes.length; ++line)
      end = lineEnd(bytes, end);
    return bytes.subarray(0, end);
  }

  private async lineStart(from: number): Promise<number> {
    return from + lineEnd(await this.bytesAt(from, BATCH_BYTES), 0);
  }

  private async readOn(size: number): Promise<LiveBatch[]> {
    const batches: LiveBatch[] = [];
    while (this.at < size) {
      const part = wholeLines(await this.bytesAt(this.at, Math.min(BATCH_BYTES, size - this.at)));
      if (part.length === 0) break;
      batches.push(await this.rows!.read(part));
      this.at += part.length;
    }
    return batches;
  }

  private async bytesAt(from: number, length: number): Promise<Buffer> {
    const bytes = Buffer.alloc(length);
    const { bytesRead } = await this.log!.read(bytes, 0, length, from);
    return bytes.subarray(0, bytesRead);
  }
}

/** A recording's document is written before its log. */
function openIfThere(path: string): Promise<FileHandle | null> {
  return open(path, 'r').catch((error: unknown) => {
    if (systemCode(error) === 'ENOENT') return null;
    throw error;
  });
}

function isSame(
  a: { readonly mapping: Mapping; readonly report: LogReport },
  b: { readonly mapping: Mapping; readonly report: LogReport },
): boolean {
  const what = ({ mapping, report }: typeof a) =>
    JSON.stringify([
      mapping.files.map(({ delimiter, decimal, firstDataLine }) => [delimiter, decimal, firstDataLine]),
      mapping.columns.map(({ index, role, unit, reversed }) => [index, role, unit, reversed]),
      mapping.mount,
      report.evened ?? null,
    ]);
  return what(a) === what(b) && Math.abs(a.report.rateHz / b.report.rateHz - 1) < SAME_RATE;
}

function wholeLines(bytes: Buffer): Buffer {
  return bytes.subarray(0, Math.max(bytes.lastIndexOf(10), bytes.lastIndexOf(13, bytes.length - 2)) + 1);
}

/** Index after the line that begins at `from`; the end of the bytes where none ends. */
function lineEnd(bytes: Buffer, from: number): number {
  const lf = bytes.indexOf(10, from);
  const cr = bytes.indexOf(13, from);
  if (cr >= 0 && (lf < 0 || cr < lf)) return bytes[cr + 1] === 10 ? cr + 2 : cr + 1;
  return lf < 0 ? bytes.length : lf + 1;
}
