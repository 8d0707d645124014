import type { Labels } from '../../server/engine/labels/labels.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import type { Work } from './model.ts';
import { dispatch, labelsByTake } from './store.ts';

/** What the server is known to hold. Work that differs from it is on its way there. */
interface SavedWork {
  candidates: Work['candidates'] | null;
  candidatesRevision: number;
  /** By take: the labels, and the revision of the document that the page's own go on from. */
  readonly labels: Map<string, { readonly labels: Labels; readonly revision: number }>;
}

export const savedWork: SavedWork = { candidates: null, candidatesRevision: 0, labels: new Map() };

export function isDirty(work: Work): boolean {
  if (savedWork.candidates !== null && work.candidates !== savedWork.candidates) return true;
  return dirtyLabels(work).length > 0;
}

/** Labels that were changed here, by take. A take that was never read from the server is none of them. */
export function dirtyLabels(work: Pick<Work, 'labels'>): [takeId: string, labels: Labels][] {
  return Object.entries(work.labels).filter(([id, labels]) => {
    const saved = savedWork.labels.get(id);
    return saved !== undefined && saved.labels !== labels;
  });
}

/** Takes over the labels of a document, for the page to work on from there. */
export function adoptLabels({ id, labels, revision }: TakeDocument): void {
  savedWork.labels.set(id, { labels, revision });
  dispatch({ type: 'labelsLoaded', takeId: id, labels });
}

/**
 * A document has come from the server. Labels that somebody else changed take the place of the page's, unless these were
 * changed as well: they still go on from the older revision then, so that the server refuses them.
 * @param from  the revision that this page's own change went on from; null if the document was only read.
 */
export function meetLabels(document: TakeDocument, from: number | null): void {
  const { id, revision } = document;
  const saved = savedWork.labels.get(id);
  if (saved === undefined || saved.revision >= revision) return;
  const isSame = saved.revision === from || JSON.stringify(saved.labels) === JSON.stringify(document.labels);
  if (isSame) savedWork.labels.set(id, { ...saved, revision });
  else if (labelsByTake.peek()[id] === saved.labels) adoptLabels(document);
}
