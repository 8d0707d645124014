import { readFile } from 'node:fs/promises';
import { readPacked, uniformLogOf } from '../engine/base/packedColumns.ts';
import type { Calibration } from '../engine/calibrate/calibration.ts';
import type { SmoothingSettings } from '../engine/filter/smoothing.ts';
import { type SpeedOverview, speedOverview } from '../engine/motion/overview.ts';
import { isSameData, type Memory } from '../ingest/ground/remembered.ts';
import type { Hooks, Mapping, Overrides, Preview, ReadTake } from '../ingest/ground/types.ts';
import { previewAndRead } from '../ingest/preview/preview.ts';
import { readTake } from '../ingest/take/readTake.ts';
import { mapTimes, type TimeMap } from '../ingest/take/rowTimes.ts';
import { writeColumns } from './columnsFile.ts';
import { MappingError } from './errors.ts';
import { logSource, type SourceOnDisk } from './sourceFiles.ts';

export interface PreviewTask {
  readonly kind: 'preview';
  readonly sources: readonly SourceOnDisk[];
  readonly overrides: Overrides;
  /** What was corrected before; none by default. */
  readonly memory?: Memory;
}

export interface ReadTask {
  readonly kind: 'read';
  readonly sources: readonly SourceOnDisk[];
  readonly mapping: Mapping;
  /** Where the columns go; they are not handed back, so that a thread that reads them for another keeps none. */
  readonly columnsPath: string;
  readonly columnsKey: string;
}

export interface MapTimesTask {
  readonly kind: 'mapTimes';
  readonly sources: readonly SourceOnDisk[];
  readonly before: Mapping;
  readonly after: Mapping;
}

export interface OverviewTask {
  readonly kind: 'overview';
  readonly columnsPath: string;
  readonly columnsBytes: number;
  readonly calibration: Calibration;
  readonly smoothing: SmoothingSettings;
}

export type IngestTask = PreviewTask | ReadTask | MapTimesTask | OverviewTask;

export type ReadResult = Pick<ReadTake, 'presses' | 'textSpans' | 'decisions' | 'report'>;

/** What reads logs for the store: a worker thread in the server, the same code in line in tests. */
export interface IngestRunner {
  preview(task: Omit<PreviewTask, 'kind'>, hooks: Hooks): Promise<Preview>;
  read(task: Omit<ReadTask, 'kind'>, hooks: Hooks): Promise<ReadResult>;
  /** Where the moments of a take go when it is read by another mapping. */
  mapTimes(task: Omit<MapTimesTask, 'kind'>, hooks: Hooks): Promise<TimeMap>;
  /** What a take looks like from afar, from its columns as they are stored. */
  overview(task: Omit<OverviewTask, 'kind'>, hooks: Hooks): Promise<SpeedOverview>;
  close(): Promise<void>;
}

export async function runTask(
  runner: IngestRunner,
  task: IngestTask,
  hooks: Hooks,
): Promise<Preview | ReadResult | TimeMap | SpeedOverview> {
  switch (task.kind) {
    case 'preview':
      return runner.preview(task, hooks);
    case 'read':
      return runner.read(task, hooks);
    case 'mapTimes':
      return runner.mapTimes(task, hooks);
    case 'overview':
      return runner.overview(task, hooks);
  }
}

/** What a preview has read, of files of these contents and by this mapping. */
interface KeptTake {
  readonly sha256: readonly string[];
  readonly mapping: Mapping;
  readonly take: ReadTake;
}

/** Two hours at 500 Hz. A longer take is read again. */
const KEPT_BYTES_AT_MOST = 256 * 1024 * 1024;

/** Runs in the caller's own thread. The take that was previewed last is kept: adding it reads no file again. */
export function inlineIngest(): IngestRunner {
  let kept: KeptTake | null = null;
  return {
    async preview({ sources, overrides, memory }, hooks) {
      kept = null;
      const found = await asUserError(previewAndRead(sources.map(logSource), overrides, hooks, memory));
      const { preview, take } = found;
      if (take && bytesOf(take) <= KEPT_BYTES_AT_MOST)
        kept = { sha256: sources.map(({ sha256 }) => sha256), mapping: preview.mapping, take };
      return preview;
    },
    async read({ sources, mapping, columnsPath, columnsKey }, hooks) {
      const isKept =
        kept !== null &&
        isSameData(
          kept.sha256,
          sources.map(({ sha256 }) => sha256),
        ) &&
        isSameData(kept.mapping, mapping);
      const take = isKept ? kept!.take : null;
      kept = null;
      const { log, saturated, presses, textSpans, decisions, report } =
        take ?? (await asUserError(readTake(sources.map(logSource), mapping, hooks)));
      await writeColumns(columnsPath, columnsKey, log, saturated);
      return { presses, textSpans, decisions, report };
    },
    mapTimes({ sources, before, after }, hooks) {
      return asUserError(mapTimes(sources.map(logSource), before, after, hooks));
    },
    async overview({ columnsPath, calibration, smoothing }) {
      const packed = readPacked(await bufferOf(columnsPath));
      // A copy of the marks lets go of the bytes in which they came.
      const uniform = uniformLogOf({ ...packed, saturated: packed.saturated.slice() });
      return speedOverview(uniform, calibration, smoothing);
    },
    close: async () => {},
  };
}

/** All of a file. What Node reads from a long one has a buffer of its own, and is not copied. */
async function bufferOf(path: string): Promise<ArrayBuffer> {
  const { buffer, byteOffset, length } = await readFile(path);
  const isWhole = byteOffset === 0 && length === buffer.byteLength;
  return (isWhole ? buffer : buffer.slice(byteOffset, byteOffset + length)) as ArrayBuffer;
}

function bytesOf({ log, saturated }: ReadTake): number {
  const columns = Object.values(log) as Float64Array[];
  return columns.reduce((sum, { byteLength }) => sum + byteLength, saturated.byteLength);
}

/** What a RangeError of the language itself says, which nobody can mend by stating something else. */
const LANGUAGE = /call stack|array length|string length|allocation failed/i;

/** To ingest an unfit override or mapping is its caller's mistake; here the caller is the user. */
async function asUserError<T>(work: Promise<T>): Promise<T> {
  try {
    return await work;
  } catch (error) {
    if (error instanceof RangeError && !LANGUAGE.test(error.message)) throw new MappingError(error.message);
    throw error;
  }
}
