import type { JobValue, Progress, TakeInput } from './jobs.ts';
import type { ReadTake, TakeReader } from './takeReader.ts';

/** What a job needs of the world around it. */
export interface Surroundings {
  readonly reader: TakeReader;
  /** Tells what has been found so far. */
  report(value: JobValue): void;
  isCancelled(): boolean;
  /** Lets messages in, such as a cancel. */
  breathe(): Promise<void>;
  nowMs(): number;
}

/** The page is told no more often than this; what was found is large to send. */
const REPORT_EVERY_MS = 200;

/** Runs over takes one by one; one that cannot be read is noted and passed over. Throws `Stopped` once cancelled. */
export async function overTakes(
  takes: readonly TakeInput[],
  around: Surroundings,
  work: (take: TakeInput) => Promise<void>,
  tell: (progress: Pick<Progress, 'done' | 'failed'>) => JobValue,
): Promise<Progress['failed']> {
  const failed: { title: string; message: string }[] = [];
  let toldMs = Number.NEGATIVE_INFINITY;
  for (const [i, take] of takes.entries()) {
    await around.breathe();
    if (around.isCancelled()) throw new Stopped();
    try {
      await work(take);
    } catch (error) {
      failed.push({ title: take.title, message: error instanceof Error ? error.message : String(error) });
    }
    if (around.nowMs() - toldMs < REPORT_EVERY_MS) continue;
    around.report(tell({ done: i + 1, failed }));
    toldMs = around.nowMs();
  }
  return failed;
}

/** A job that the user, or a newer job, put an end to. */
export class Stopped extends Error {
  constructor() {
    super('stopped');
  }
}

/** Results of single takes, kept by all that they rest on: a job that runs again computes only what changed. */
export class Kept<Result> {
  private readonly results = new Map<string, Result>();
  private readonly most: number;

  constructor(most: number) {
    this.most = most;
  }

  async of(key: string, compute: () => Promise<Result>): Promise<Result> {
    const kept = this.results.get(key) ?? (await compute());
    this.results.delete(key);
    this.results.set(key, kept);
    for (const oldest of this.results.keys()) {
      if (this.results.size <= this.most) break;
      this.results.delete(oldest);
    }
    return kept;
  }
}

export function keyOf(take: TakeInput, ...rest: readonly unknown[]): string {
  const { id, title, performer, calibration, presses, labels } = take;
  return JSON.stringify([id, title, performer, calibration, presses, labels, ...rest]);
}

export type { ReadTake };
