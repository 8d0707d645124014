import { randomBytes } from 'node:crypto';
import { CancelledError } from '../errors.ts';
import type { Hooks } from '../ingest/ground/types.ts';
import { describeError } from './describeError.ts';
import { JobNotFoundError, TooManyJobsError } from './errors.ts';
import type { JobBody, JobState } from './schemas.ts';

interface Job {
  body: JobBody;
  readonly abort: AbortController;
  readonly ended: Promise<void>;
}

type Work = (hooks: Hooks) => Promise<unknown>;

/** Bounds of what is kept in memory: work at a time, and results that nobody may come back for. */
const MAX_RUNNING = 32;
const MAX_ENDED = 64;

/** Work that outlasts a request: reading logs. */
export class Jobs {
  private readonly jobs = new Map<string, Job>();
  private readonly logError: (error: unknown) => void;

  constructor(logError: (error: unknown) => void) {
    this.logError = logError;
  }

  /**
   * Begins work and returns the id to ask for it by.
   * @throws TooManyJobsError
   */
  start(work: Work): string {
    if (this.count('running') >= MAX_RUNNING) {
      throw new TooManyJobsError('Too much is being read at once. Wait until some of it is done.');
    }
    this.forgetOldest();
    const id = randomBytes(12).toString('hex');
    const abort = new AbortController();
    const onProgress = (fraction: number): void => {
      this.update(id, { state: 'running', progress: Math.min(1, Math.max(0, fraction)) });
    };
    // Put off, so that the job is in the list before it can report.
    const ended = Promise.resolve().then(() => this.follow(id, work, { signal: abort.signal, onProgress }));
    this.jobs.set(id, { body: { state: 'running', progress: 0 }, abort, ended });
    return id;
  }

  /** @throws JobNotFoundError */
  get(id: string): JobBody {
    return this.job(id).body;
  }

  /**
   * Asks running work to stop and waits until it has ended. Where it had done all that matters by then it is done, not
   * stopped: what it made is there.
   * @throws JobNotFoundError
   */
  async cancel(id: string): Promise<void> {
    const { abort, ended } = this.job(id);
    abort.abort(new CancelledError());
    await ended;
  }

  /** Stops all work and waits until it has stopped. */
  async close(): Promise<void> {
    await Promise.all([...this.jobs.keys()].map((id) => this.cancel(id)));
  }

  private async follow(id: string, work: Work, hooks: Hooks): Promise<void> {
    try {
      this.update(id, { state: 'done', progress: 1, result: await work(hooks) });
    } catch (error) {
      if (error instanceof CancelledError) return this.update(id, { state: 'cancelled', progress: 0 });
      const { status, body } = describeError(error);
      if (status === 500) this.logError(error);
      this.update(id, { state: 'failed', progress: this.jobs.get(id)?.body.progress ?? 0, error: body });
    }
  }

  /** The first end counts. */
  private update(id: string, body: JobBody): void {
    const job = this.jobs.get(id);
    if (job?.body.state === 'running') job.body = body;
  }

  private job(id: string): Job {
    const job = this.jobs.get(id);
    if (!job) throw new JobNotFoundError('There is no such job (any more).');
    return job;
  }

  private count(state: JobState): number {
    let n = 0;
    for (const { body } of this.jobs.values()) if (body.state === state) ++n;
    return n;
  }

  /** A map keeps the order of entry, so the first ended one is the oldest. */
  private forgetOldest(): void {
    let excess = this.jobs.size - this.count('running') - (MAX_ENDED - 1);
    for (const [id, { body }] of this.jobs) {
      if (excess <= 0) return;
      if (body.state === 'running') continue;
      this.jobs.delete(id);
      --excess;
    }
  }
}
