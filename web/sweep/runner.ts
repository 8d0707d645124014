import { labelDoubts } from '../../server/engine/labels/labelDoubts.ts';
import { doubtTexts } from '../../server/engine/words/labels.ts';
import type { TakeReader } from '../takes/reader.ts';
import { Stopped } from '../takes/requests.ts';
import type { JobTake, JobValue, Progress, TakeInput } from './jobs.ts';

/** What a job needs of the world around it. */
export interface Surroundings {
  readonly reader: TakeReader;
  /** The take to begin with; the rest follow in their order. What comes out does not depend on it. */
  readonly firstId: string | null;
  /** Reads a take's document. */
  input(take: JobTake): Promise<TakeInput>;
  /** Tells what has been found so far, take by take. */
  report(value: JobValue): void;
  isCancelled(): boolean;
  /** Until messages that have come, such as a cancel, are read. */
  letMessagesIn(): Promise<void>;
}

/** What is said of takes beside what is found on them. */
type Noted = Pick<Progress, 'failed' | 'doubtful'>;

/**
 * Runs over takes one by one; one that cannot be read is noted and passed over. Throws `Stopped` once cancelled.
 * @param work  is told which take comes next, so that its columns can be on their way.
 */
export async function overTakes(
  takes: readonly JobTake[],
  around: Surroundings,
  work: (input: TakeInput, take: JobTake, next: JobTake | undefined) => Promise<void>,
  tell: (progress: Pick<Progress, 'done'> & Noted) => JobValue,
): Promise<Noted> {
  const failed: { title: string; message: string }[] = [];
  const doubtful: { title: string; doubts: readonly string[] }[] = [];
  const ordered = firstOnes(takes, around.firstId);
  for (const [i, take] of ordered.entries()) {
    await around.letMessagesIn();
    if (around.isCancelled()) throw new Stopped();
    try {
      const input = await around.input(take);
      const doubts = doubtTexts(labelDoubts(input.labels));
      if (doubts.length > 0) doubtful.push({ title: take.title, doubts });
      await work(input, take, ordered[i + 1]);
    } catch (error) {
      failed.push({ title: take.title, message: error instanceof Error ? error.message : String(error) });
    }
    around.report(tell({ done: i + 1, failed, doubtful }));
  }
  return { failed, doubtful };
}

function firstOnes(takes: readonly JobTake[], firstId: string | null): readonly JobTake[] {
  return [...takes.filter(({ id }) => id === firstId), ...takes.filter(({ id }) => id !== firstId)];
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
  const { id, title, performer, calibration, presses, labels, unfit } = take;
  return JSON.stringify([id, title, performer, calibration, presses, labels, unfit, ...rest]);
}
