import { signal } from '@preact/signals';
import type { PatchTakeBody, TakeDocument } from '../../server/http/schemas.ts';
import { fetchTake, patchTake } from '../api.ts';
import { meetLabels } from '../state/savedWork.ts';
import { startAnew } from '../state/startAnew.ts';
import type { Basis } from './found.ts';

/** Documents of takes, each read once for every revision. */
/** What the columns of a take are read from: the same gives the same columns. */
export function basisOf(document: Pick<TakeDocument, 'sources' | 'mapping'>): Basis {
  const known = bases.get(document);
  if (known !== undefined) return known;
  const { sources, mapping } = document;
  const basis = JSON.stringify([sources.map(({ sha256 }) => sha256), mapping]);
  bases.set(document, basis);
  return basis;
}

const bases = new WeakMap<object, Basis>();

export class TakeDocuments {
  private readonly kept = new Map<string, TakeDocument>();
  private readonly asked = new Map<string, Promise<TakeDocument>>();
  /** Counts up with every document that is new here. */
  private readonly changes = signal(0);

  /** The document, if this revision of it or a later one is here. */
  known(id: string, revision = 0): TakeDocument | undefined {
    void this.changes.value;
    const kept = this.kept.get(id);
    return kept && kept.revision >= revision ? kept : undefined;
  }

  /** The document in this revision or a later one; asked for together, it is sent for once. */
  async read(id: string, revision = 0): Promise<TakeDocument> {
    const kept = this.kept.get(id);
    if (kept && kept.revision >= revision) return kept;
    const asked = await this.asked.get(id)?.catch(() => undefined);
    return asked && asked.revision >= revision ? asked : this.readNow(id);
  }

  /** As the server has it now. */
  async readNow(id: string): Promise<TakeDocument> {
    const asking = fetchTake(id);
    this.asked.set(id, asking);
    try {
      return this.note(await asking, null);
    } finally {
      if (this.asked.get(id) === asking) this.asked.delete(id);
    }
  }

  /**
   * Changes a document.
   * @param from  the revision that whoever made the change has seen.
   * @throws ApiError  of status 409 if the server has a later one: nothing is changed then.
   */
  async patch(id: string, from: number, change: Omit<PatchTakeBody, 'revision'>): Promise<TakeDocument> {
    return this.note(await patchTake(id, { ...change, revision: from }), from);
  }

  forget(id: string): void {
    this.kept.delete(id);
    this.asked.delete(id);
  }

  private note(document: TakeDocument, from: number | null): TakeDocument {
    const kept = this.kept.get(document.id);
    if (kept && kept.revision >= document.revision) return kept;
    // Columns of the old reading are all over the page, and no key names the reading that they are of.
    if (kept && JSON.stringify(kept.mapping) !== JSON.stringify(document.mapping))
      startAnew(`“${document.title}” was read again elsewhere: this page has started anew.`);
    this.kept.set(document.id, document);
    ++this.changes.value;
    meetLabels(document, from);
    return document;
  }
}

export const documents = new TakeDocuments();
