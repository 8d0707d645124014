import type { SpeedOverview } from '../engine/motion/overview.ts';
import { CancelledError } from '../errors.ts';
import type { Hooks, Preview } from '../ingest/ground/types.ts';
import type { TimeMap } from '../ingest/take/rowTimes.ts';
import type {
  IngestRunner,
  IngestTask,
  MapTimesTask,
  OverviewTask,
  PreviewTask,
  ReadResult,
  ReadTask,
} from './ingestTasks.ts';
import { contentsOf, ReaderThread } from './readerThread.ts';

/** A long log must not keep a short one waiting; more at once would only take turns, each with its memory. */
const THREADS = 2;

interface Order {
  readonly task: IngestTask;
  readonly begin: (thread: ReaderThread) => void;
}

/**
 * Reads logs in a few threads, so that the server goes on answering: each task in one that is free, those that are left wait
 * in order. A take that was previewed is read by the thread that still has it, where that one is free.
 */
export class WorkerIngest implements IngestRunner {
  private readonly threads: readonly ReaderThread[];
  private waiting: Order[] = [];
  private closed = false;

  constructor(entry: URL) {
    this.threads = Array.from({ length: THREADS }, () => new ReaderThread(entry));
  }

  preview(task: Omit<PreviewTask, 'kind'>, hooks: Hooks): Promise<Preview> {
    return this.run({ ...task, kind: 'preview' }, hooks) as Promise<Preview>;
  }

  read(task: Omit<ReadTask, 'kind'>, hooks: Hooks): Promise<ReadResult> {
    return this.run({ ...task, kind: 'read' }, hooks) as Promise<ReadResult>;
  }

  mapTimes(task: Omit<MapTimesTask, 'kind'>, hooks: Hooks): Promise<TimeMap> {
    return this.run({ ...task, kind: 'mapTimes' }, hooks) as Promise<TimeMap>;
  }

  overview(task: Omit<OverviewTask, 'kind'>, hooks: Hooks): Promise<SpeedOverview> {
    return this.run({ ...task, kind: 'overview' }, hooks) as Promise<SpeedOverview>;
  }

  async close(): Promise<void> {
    this.closed = true;
    await Promise.all(this.threads.map((thread) => thread.end()));
  }

  /** Those that wait are stopped at once, those that run with their thread. */
  private async run(task: IngestTask, hooks: Hooks): Promise<unknown> {
    const thread = await this.threadFor(task, hooks);
    try {
      if (this.closed || hooks.signal?.aborted) throw new CancelledError();
      return await thread.run(task, hooks);
    } finally {
      thread.isBusy = false;
      this.giveOn();
    }
  }

  private threadFor(task: IngestTask, hooks: Hooks): Promise<ReaderThread> {
    return new Promise((resolve, reject) => {
      const onAbort = (): void => {
        this.waiting = this.waiting.filter((one) => one !== order);
        reject(new CancelledError());
      };
      const begin = (thread: ReaderThread): void => {
        hooks.signal?.removeEventListener('abort', onAbort);
        thread.isBusy = true;
        resolve(thread);
      };
      const order: Order = { task, begin };
      if (hooks.signal?.aborted) return reject(new CancelledError());
      hooks.signal?.addEventListener('abort', onAbort, { once: true });
      this.waiting.push(order);
      this.giveOn();
    });
  }

  private giveOn(): void {
    for (;;) {
      const free = this.threads.filter((thread) => !thread.isBusy);
      const order = this.waiting[0];
      if (!order || free.length === 0) return;
      this.waiting.shift();
      const known = contentsOf(order.task);
      const own = free.find(({ previewed }) => previewed === known);
      order.begin(own ?? free.find(({ previewed }) => previewed === '') ?? free[0]!);
    }
  }
}
