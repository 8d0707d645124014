import { Stopped } from '../takes/requests.ts';
import type { JobTake, JobValue, Progress } from './jobs.ts';
import type { AnsweredPiece, FoundPiece, Piece } from './piece.ts';

/** What a job needs of the world around it. */
export interface Surroundings {
  /** The take to begin with; the rest follow in their order. What comes out does not depend on it. */
  readonly firstId: string | null;
  /** So many takes are asked for at once. What comes out does not depend on which is found first. */
  readonly width: number;
  /**
   * Has a piece of the job found on a take, whose document is read by whoever finds it.
   * @param next  the take that is likely to be asked for next.
   */
  find(take: JobTake, piece: Piece, next: JobTake | undefined): Promise<AnsweredPiece>;
  /** Is told of each piece that the job takes in, also of one that was found for an earlier job. */
  tookIn(take: JobTake, piece: AnsweredPiece): Promise<void>;
  /** Tells what has been found so far, take by take, to whoever makes the value of it: sums that nobody looks at are not taken. */
  report(soFar: () => JobValue): void;
  isCancelled(): boolean;
  /** Until messages that have come, such as a cancel, are read. */
  letMessagesIn(): Promise<void>;
}

/** Until messages that have come are read. A timer would wait for four milliseconds each time that it follows another. */
export function letMessagesIn(): Promise<void> {
  return new Promise((resolve) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      resolve();
    };
    port2.postMessage(null);
  });
}

/** What is said of takes beside what is found on them. */
export type Noted = Pick<Progress, 'failed' | 'doubtful'>;

/**
 * Runs over takes, several at once; one that cannot be read is noted and passed over. Throws `Stopped` once cancelled.
 * @param work  is told what is found on each, as it is found; null where the take cannot be read.
 */
export async function overTakes<Value>(
  takes: readonly JobTake[],
  around: Surroundings,
  find: (take: JobTake, next: JobTake | undefined) => Promise<FoundPiece & { readonly value: Value }>,
  note: (take: JobTake, value: Value | null) => void,
  tell: (progress: Pick<Progress, 'done'> & Noted) => JobValue,
): Promise<Noted> {
  const failed = new Map<JobTake, string>();
  const doubtful = new Map<JobTake, readonly string[]>();
  const noted = (): Noted => ({
    failed: inOrder(failed, takes).map(([{ title }, message]) => ({ title, message })),
    doubtful: inOrder(doubtful, takes).map(([{ title }, doubts]) => ({ title, doubts })),
  });
  const ordered = firstOnes(takes, around.firstId);
  let begun = 0;
  let done = 0;
  const goOn = async (): Promise<void> => {
    while (begun < ordered.length) {
      const take = ordered[begun++]!;
      await around.letMessagesIn();
      if (around.isCancelled()) throw new Stopped();
      try {
        const { doubts, value } = await find(take, ordered[begun]);
        if (doubts.length > 0) doubtful.set(take, doubts);
        note(take, value);
      } catch (error) {
        if (error instanceof Stopped) throw error;
        failed.set(take, error instanceof Error ? error.message : String(error));
        note(take, null);
      }
      const progress = { done: ++done, ...noted() };
      around.report(() => tell(progress));
    }
  };
  await Promise.all(Array.from({ length: around.width }, goOn));
  return noted();
}

/** How `overTakes` has a piece found: what was found before of this revision is not asked for again. */
export function findKept<Value>(
  around: Surroundings,
  kept: Kept<AnsweredPiece>,
  piece: Piece,
  key: unknown = piece,
): (take: JobTake, next: JobTake | undefined) => Promise<FoundPiece & { readonly value: Value }> {
  const settings = JSON.stringify(key);
  return async (take, next) => {
    const key = `${settings} ${JSON.stringify(take)}`;
    const answered = await kept.of(key, () => around.find(take, piece, next));
    await around.tookIn(take, answered);
    return answered.found as FoundPiece & { readonly value: Value };
  };
}

/** What was found of takes, in the takes' order. */
export function inOrder<Found>(
  found: ReadonlyMap<JobTake, Found>,
  takes: readonly JobTake[],
): [JobTake, Found][] {
  if (found.size === 0) return [];
  return takes.flatMap((take) => (found.has(take) ? [[take, found.get(take)!]] : []));
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
