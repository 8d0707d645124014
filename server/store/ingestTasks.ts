import { previewLog } from '../ingest/preview.ts';
import { readTake } from '../ingest/readTake.ts';
import type { Memory } from '../ingest/remembered.ts';
import type { Hooks, Mapping, Overrides, Preview, ReadTake } from '../ingest/types.ts';
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

export type IngestTask = PreviewTask | ReadTask;

export type ReadResult = Pick<ReadTake, 'presses' | 'textSpans' | 'report'>;

/** What reads logs for the store: a worker thread in the server, the same code in line in tests. */
export interface IngestRunner {
  preview(task: Omit<PreviewTask, 'kind'>, hooks: Hooks): Promise<Preview>;
  read(task: Omit<ReadTask, 'kind'>, hooks: Hooks): Promise<ReadResult>;
  close(): Promise<void>;
}

export async function runTask(task: IngestTask, hooks: Hooks): Promise<Preview | ReadResult> {
  return task.kind === 'preview' ? runPreview(task, hooks) : runRead(task, hooks);
}

/** Runs in the caller's own thread. */
export const INLINE_INGEST: IngestRunner = { preview: runPreview, read: runRead, close: async () => {} };

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
