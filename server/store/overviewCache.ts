import { createHash } from 'node:crypto';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { crc32 } from 'node:zlib';
import { PROGRAM_VERSION } from '../engine/base/version.ts';
import type { SmoothingSettings } from '../engine/filter/smoothing.ts';
import type { SpeedOverview } from '../engine/motion/overview.ts';
import { writeAtomic } from './atomicFile.ts';
import type { ColumnsCache } from './columnsCache.ts';
import { columnsKey } from './columnsFile.ts';
import type { CalibrationDocument, TakeDocument } from './documents.ts';
import type { IngestRunner } from './ingestTasks.ts';

export const OVERVIEW_NAME = 'overview.json';

/** Counts up when the same columns would give another overview. */
const OVERVIEW_VERSION = 1;

/** What a take looks like from afar, and what that was made of: whoever goes by something else has no use for it. */
export interface TakeOverview extends SpeedOverview {
  readonly key: string;
  readonly calibration: CalibrationDocument;
  readonly smoothing: SmoothingSettings;
}

/** `overview.json` beside a take's columns: made anew where it is missing, or made of anything else. */
export class OverviewCache {
  /** What was found damaged and has been made again, one plain sentence each. */
  readonly notes: string[] = [];
  private readonly columns: ColumnsCache;
  private readonly ingest: IngestRunner;
  private readonly making = new Map<string, Promise<TakeOverview>>();

  constructor(columns: ColumnsCache, ingest: IngestRunner) {
    this.columns = columns;
    this.ingest = ingest;
  }

  /** @throws StoreCorruptError | DiskFullError | CancelledError */
  async overview(
    folder: string,
    document: TakeDocument,
    smoothing: SmoothingSettings,
  ): Promise<TakeOverview> {
    const { calibration } = document;
    const key = keyOf({ columns: columnsKey(document.sources, document.mapping), calibration, smoothing });
    const path = join(folder, OVERVIEW_NAME);
    const kept = await readKept(path);
    if (kept === 'damaged') this.note(document, path);
    else if (kept?.key === key) return kept;
    const name = `${path} ${key}`;
    const making =
      this.making.get(name) ??
      this.make(folder, document, { key, calibration, smoothing }).finally(() => this.making.delete(name));
    this.making.set(name, making);
    return making;
  }

  private note({ title }: TakeDocument, path: string): void {
    const note = `What the take "${title}" looks like from afar was damaged on the disk (${path}) and has been made again. If that happens again, check the disk.`;
    if (!this.notes.includes(note)) this.notes.push(note);
  }

  private async make(
    folder: string,
    document: TakeDocument,
    of: Omit<TakeOverview, keyof SpeedOverview>,
  ): Promise<TakeOverview> {
    const { calibration, smoothing } = of;
    const { path: columnsPath, sizeBytes: columnsBytes } = await this.columns.columns(folder, document);
    const task = { columnsPath, columnsBytes, calibration, smoothing };
    const overview = { ...of, ...(await this.ingest.overview(task, {})) };
    await writeAtomic(
      join(folder, OVERVIEW_NAME),
      JSON.stringify({ ...overview, crc32: checksumOf(overview) }),
    );
    return overview;
  }
}

function keyOf(parts: object): string {
  const all = { version: OVERVIEW_VERSION, program: PROGRAM_VERSION, ...parts };
  return createHash('sha256').update(JSON.stringify(all)).digest('hex');
}

/** Of the overview as JSON writes it. */
function checksumOf(overview: TakeOverview): number {
  return crc32(JSON.stringify(overview));
}

/** null where there is none, or one of a version that knew of no checksum: it is made anew. */
async function readKept(path: string): Promise<TakeOverview | 'damaged' | null> {
  const text = await readFile(path, 'utf8').catch(() => null);
  if (text === null) return null;
  try {
    const { crc32: sum, ...overview } = JSON.parse(text);
    if (sum === undefined) return null;
    return sum === checksumOf(overview) ? overview : 'damaged';
  } catch {
    return 'damaged';
  }
}
