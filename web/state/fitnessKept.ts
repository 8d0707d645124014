import type { TakeDocument } from '../../server/http/schemas.ts';

interface Entry {
  readonly revision: number;
  /** All that the judgement rests on, besides the columns. */
  readonly key: string;
  readonly unfit: string | null;
}

type Document = Pick<TakeDocument, 'id' | 'revision' | 'calibration' | 'mapping' | 'report'>;

/** What the signal check came to, by take and revision. */
export class KeptFitness {
  private readonly entries = new Map<string, Entry>();

  /** What speaks against a take; null where nothing does, undefined where this revision or a later one is not judged. */
  of(id: string, revision: number): string | null | undefined {
    const entry = this.entries.get(id);
    return entry && entry.revision >= revision ? entry.unfit : undefined;
  }

  /** The judgement of an earlier revision that rests on the same; undefined where there is none. */
  sameSignals(document: Document): string | null | undefined {
    const entry = this.entries.get(document.id);
    return entry?.key === keyOf(document) ? entry.unfit : undefined;
  }

  note(document: Document, unfit: string | null): void {
    const { id, revision } = document;
    this.entries.set(id, { revision, key: keyOf(document), unfit });
  }

  /** A take that cannot be checked counts for nothing until it changes. */
  noteFailed(id: string, revision: number, why: string): void {
    this.entries.set(id, { revision, key: '', unfit: why });
  }
}

function keyOf({ calibration, mapping, report }: Document): string {
  return JSON.stringify([calibration, mapping, report]);
}
