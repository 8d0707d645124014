import { batch, signal } from '@preact/signals';
import type { PatchTakeBody, TakeDocument, TakeSummary } from '../../server/http/schemas.ts';
import { fetchTake, fetchTakes, patchTake } from '../api.ts';
import { meetLabels } from '../state/savedWork.ts';
import { startAnew } from '../state/startAnew.ts';
import { listAnew, workspace } from '../state/workspace.ts';

/** Documents that are read together: some hundred kilobytes. */
const MOST_AT_ONCE = 30;

/** Documents of takes, each read once for every revision. */
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
    const asking = this.asked.get(id);
    // Without waiting where there is nothing to wait for: else all that read at once would ask for the same.
    const asked = asking && (await asking.catch(() => undefined));
    return asked && asked.revision >= revision ? asked : this.readWithNext(id, revision);
  }

  /** Whoever reads one of many takes reads the next ones soon: they come along. */
  private async readWithNext(id: string, revision: number): Promise<TakeDocument> {
    const next = this.unknownAfter(id);
    if (next.length === 0) return this.readNow(id);
    const reading = fetchTakes([id, ...next]).then(({ documents }) => {
      batch(() => {
        for (const document of documents) this.note(document, null);
      });
      return documents;
    });
    for (const one of [id, ...next]) {
      const asking = reading.then((documents) => {
        const found = documents.find((document) => document.id === one);
        if (!found) throw new Error('it cannot be read');
        return this.kept.get(one) ?? found;
      });
      this.asked.set(one, asking);
      // Whoever comes to ask for it alone is told why.
      asking.catch(() => {}).finally(() => this.asked.get(one) === asking && this.asked.delete(one));
    }
    const found = await this.asked.get(id)!.catch(() => undefined);
    return found && found.revision >= revision ? found : this.readNow(id);
  }

  private unknownAfter(id: string): string[] {
    const takes = workspace.peek()?.takes ?? [];
    const at = takes.findIndex((take) => take.id === id);
    const isUnknown = (take: TakeSummary) =>
      (this.kept.get(take.id)?.revision ?? -1) < take.revision && !this.asked.has(take.id);
    return at < 0
      ? []
      : takes
          .slice(at + 1, at + MOST_AT_ONCE)
          .filter(isUnknown)
          .map((take) => take.id);
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
    // Somebody else has changed it: whatever goes by the list alone would hold on to what the take was.
    const listed = workspace.peek()?.takes.find(({ id }) => id === document.id);
    if (from === null && listed && listed.revision < document.revision) listAnew();
    return document;
  }
}

export const documents = new TakeDocuments();
