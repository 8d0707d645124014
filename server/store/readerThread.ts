import { Worker } from 'node:worker_threads';
import { CancelledError } from '../errors.ts';
import type { Hooks, Preview } from '../ingest/ground/types.ts';
import { errorOf, type TaskMessage, type WorkerMessage } from './ingestMessages.ts';
import type { IngestTask } from './ingestTasks.ts';

/** How long a thread without work keeps its memory, with the take that it previewed: some look at it for a while. */
const IDLE_MS = 120_000;

/**
 * A thread that has read this much ends with its task, unless it keeps the take for adding: the system gets its memory back
 * at once, where the next task would come on top of what has not been swept up yet.
 */
const ENDS_FROM_BYTES = 16 * 1024 * 1024;
/** What is read lies in columns, not here; so much holds the texts of a few rows, and leaves no 50 MB unswept. */
export const READER_LIMITS = { maxYoungGenerationSizeMb: 12 };

/** A thread that reads one log at a time. Stopping the task ends the thread; the next task starts a fresh one. */
export class ReaderThread {
  private readonly entry: URL;
  private readonly endsFromBytes: number;
  private worker: Worker | null = null;
  private idleTimer: NodeJS.Timeout | null = null;
  private nextId = 1;
  /** Kept by its owner. */
  isBusy = false;
  /** Contents of the files that it previewed last, and may still have; '' for none. */
  previewed = '';

  constructor(entry: URL, endsFromBytes = ENDS_FROM_BYTES) {
    this.entry = entry;
    this.endsFromBytes = endsFromBytes;
  }

  /** Whoever owns it gives it one task at a time. @throws CancelledError  and what reading throws */
  async run(task: IngestTask, hooks: Hooks): Promise<unknown> {
    const worker = this.readyWorker();
    this.previewed = '';
    const onAbort = (): void => void this.end();
    hooks.signal?.addEventListener('abort', onAbort, { once: true });
    try {
      const answer = await exchange(worker, { id: this.nextId++, task }, hooks.onProgress);
      if (task.kind === 'preview' && (answer as Preview).report !== null) this.previewed = contentsOf(task);
      return answer;
    } finally {
      hooks.signal?.removeEventListener('abort', onAbort);
      if (this.previewed === '' && bytesOf(task) >= this.endsFromBytes) void this.end();
      else this.rest();
    }
  }

  async end(): Promise<void> {
    if (this.idleTimer) clearTimeout(this.idleTimer);
    const { worker } = this;
    this.worker = null;
    this.previewed = '';
    await worker?.terminate();
  }

  private readyWorker(): Worker {
    if (this.idleTimer) clearTimeout(this.idleTimer);
    this.idleTimer = null;
    if (!this.worker) {
      const worker = new Worker(this.entry, { resourceLimits: READER_LIMITS });
      worker.once('exit', () => {
        if (this.worker === worker) this.worker = null;
      });
      this.worker = worker;
    }
    this.worker.ref();
    return this.worker;
  }

  private rest(): void {
    this.worker?.unref();
    this.idleTimer = setTimeout(() => void this.end(), IDLE_MS);
    this.idleTimer.unref();
  }
}

/** The same for the same bytes, whatever they are called. */
export function contentsOf(task: IngestTask): string {
  // No thread has columns that were previewed.
  if (task.kind === 'overview') return task.columnsPath;
  return task.sources.map(({ sha256 }) => sha256).join();
}

function bytesOf(task: IngestTask): number {
  if (task.kind === 'overview') return task.columnsBytes;
  return task.sources.reduce((sum, { sizeBytes }) => sum + sizeBytes, 0);
}

/** Hands the thread one task and waits for its answer, or for its end. */
async function exchange(
  worker: Worker,
  message: TaskMessage,
  onProgress: Hooks['onProgress'],
): Promise<unknown> {
  const listening = new AbortController();
  try {
    return await new Promise<unknown>((resolve, reject) => {
      const onMessage = (answer: WorkerMessage): void => {
        if (answer.id !== message.id) return;
        if (answer.kind === 'progress') onProgress?.(answer.fraction);
        else if (answer.kind === 'done') resolve(answer.value);
        else reject(errorOf(answer.failure));
      };
      // An uncaught error of the thread comes before the exit that follows it, and says more.
      const onExit = (): void => reject(new CancelledError());
      worker.on('message', onMessage).on('error', reject).on('exit', onExit);
      listening.signal.addEventListener('abort', () => {
        worker.off('message', onMessage).off('error', reject).off('exit', onExit);
      });
      worker.postMessage(message);
    });
  } finally {
    listening.abort();
  }
}
