import { Worker } from 'node:worker_threads';
import { CancelledError } from '../errors.ts';
import type { Hooks, Preview } from '../ingest/ground/types.ts';
import type { TimeMap } from '../ingest/take/rowTimes.ts';
import { errorOf, type TaskMessage, type WorkerMessage } from './ingestMessages.ts';
import type {
  IngestRunner,
  IngestTask,
  MapTimesTask,
  PreviewTask,
  ReadResult,
  ReadTask,
} from './ingestTasks.ts';

/** How long a thread without work keeps its memory, with the take that it previewed: some look at it for a while. */
const IDLE_MS = 120_000;

/**
 * Reads logs in a worker thread: one task after the other, since each is bound by one core and the server needs the
 * other. Cancelling the running task ends the thread; the next task starts a fresh one.
 */
export class WorkerIngest implements IngestRunner {
  private readonly entry: URL;
  private worker: Worker | null = null;
  private queue: Promise<unknown> = Promise.resolve();
  private idleTimer: NodeJS.Timeout | null = null;
  private nextId = 1;
  private closed = false;

  constructor(entry: URL) {
    this.entry = entry;
  }

  preview(task: Omit<PreviewTask, 'kind'>, hooks: Hooks): Promise<Preview> {
    return this.enqueue({ ...task, kind: 'preview' }, hooks) as Promise<Preview>;
  }

  read(task: Omit<ReadTask, 'kind'>, hooks: Hooks): Promise<ReadResult> {
    return this.enqueue({ ...task, kind: 'read' }, hooks) as Promise<ReadResult>;
  }

  mapTimes(task: Omit<MapTimesTask, 'kind'>, hooks: Hooks): Promise<TimeMap> {
    return this.enqueue({ ...task, kind: 'mapTimes' }, hooks) as Promise<TimeMap>;
  }

  async close(): Promise<void> {
    this.closed = true;
    await this.endWorker();
  }

  private enqueue(task: IngestTask, hooks: Hooks): Promise<unknown> {
    const result = this.queue.then(() => this.run(task, hooks));
    this.queue = result.catch(() => {});
    return result;
  }

  private async run(task: IngestTask, hooks: Hooks): Promise<unknown> {
    if (this.closed || hooks.signal?.aborted) throw new CancelledError();
    const worker = this.readyWorker();
    const onAbort = (): void => void this.endWorker();
    hooks.signal?.addEventListener('abort', onAbort, { once: true });
    try {
      return await exchange(worker, { id: this.nextId++, task }, hooks.onProgress);
    } finally {
      hooks.signal?.removeEventListener('abort', onAbort);
      this.rest();
    }
  }

  private readyWorker(): Worker {
    if (this.idleTimer) clearTimeout(this.idleTimer);
    this.idleTimer = null;
    if (!this.worker) {
      const worker = new Worker(this.entry);
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
    this.idleTimer = setTimeout(() => void this.endWorker(), IDLE_MS);
    this.idleTimer.unref();
  }

  private async endWorker(): Promise<void> {
    if (this.idleTimer) clearTimeout(this.idleTimer);
    const { worker } = this;
    this.worker = null;
    await worker?.terminate();
  }
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
