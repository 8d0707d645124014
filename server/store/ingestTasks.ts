import type { Memory } from '../ingest/ground/remembered.ts';
import type { Hooks, Mapping, Overrides, Preview, ReadTake } from '../ingest/ground/types.ts';
import { previewLog } from '../ingest/preview/preview.ts';
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

export type IngestTask = PreviewTask | ReadTask | MapTimesTask;

export type ReadResult = Pick<ReadTake, 'presses' | 'textSpans' | 'report'>;

/** What reads logs for the store: a worker thread in the server, the same code in line in tests. */
export interface IngestRunner {
  preview(task: Omit<PreviewTask, 'kind'>, hooks: Hooks): Promise<Preview>;
  read(task: Omit<ReadTask, 'kind'>, hooks: Hooks): Promise<ReadResult>;
  /** Where the moments of a take go when it is read by another mapping. */
  mapTimes(task: Omit<MapTimesTask, 'kind'>, hooks: Hooks): Promise<TimeMap>;
  close(): Promise<void>;
}

export async function runTask(task: IngestTask, hooks: Hooks): Promise<Preview | ReadResult | TimeMap> {
  switch (task.kind) {
    case 'preview':
      return runPreview(task, hooks);
    case 'read':
      return runRead(task, hooks);
    case 'mapTimes':
      return runMapTimes(task, hooks);
  }
}

/** Runs in the caller's own thread. */
export const INLINE_INGEST: IngestRunner = {
  preview: runPreview,
  read: runRead,
  mapTimes: runMapTimes,
  close: async () => {},
};

function runPreview(task: Omit<PreviewTask, 'kind'>, hooks: Hooks): Promise<Preview> {
  return asUserError(previewLog(task.sources.map(logSource), task.overrides, hooks, task.memory));
}

async function runRead(task: Omit<ReadTask, 'kind'>, hooks: Hooks): Promise<ReadResult> {
  const { log, saturated, presses, textSpans, report } = await asUserError(
    readTake(task.sources.map(logSource), task.mapping, hooks),
  );
  await writeColumns(task.columnsPath, task.columnsKey, log, saturated);
  return { presses, textSpans, report };
}

function runMapTimes({ sources, before, after }: Omit<MapTimesTask, 'kind'>, hooks: Hooks): Promise<TimeMap> {
  return asUserError(mapTimes(sources.map(logSource), before, after, hooks));
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
