import type { TakeDocument } from '../../server/http/schemas.ts';
import { pressesOf } from '../state/pressesOf.ts';
import type { JobTake, TakeInput } from './jobs.ts';

/** Reads takes' documents once for each revision. */
export class TakeDocuments {
  private readonly fetchTake: (id: string) => Promise<TakeDocument>;
  private readonly kept = new Map<string, Promise<TakeDocument>>();

  constructor(fetchTake: (id: string) => Promise<TakeDocument>) {
    this.fetchTake = fetchTake;
  }

  /** All that a job needs of a take but its columns. */
  async input({ id, title, performer, revision, labels, unfit }: JobTake): Promise<TakeInput> {
    const document = await this.document(id, revision);
    const { calibration } = document;
    return {
      id,
      title,
      performer,
      calibration,
      presses: pressesOf(document),
      allPresses: document.presses,
      labels: labels ?? document.labels,
      unfit,
    };
  }

  private async document(id: string, revision: number): Promise<TakeDocument> {
    const kept = await this.kept.get(id)?.catch(() => undefined);
    if (kept && kept.revision >= revision) return kept;
    const asked = this.fetchTake(id);
    this.kept.set(id, asked);
    return asked;
  }
}
