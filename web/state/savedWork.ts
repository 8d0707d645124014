import type { Labels } from '../../server/engine/labels/labels.ts';
import type { Work } from './model.ts';

/** What the server is known to hold. Work that differs from it is on its way there. */
interface SavedWork {
  candidates: Work['candidates'] | null;
  candidatesRevision: number;
  readonly labels: Map<string, Labels>;
}

export const savedWork: SavedWork = { candidates: null, candidatesRevision: 0, labels: new Map() };

export function isDirty(work: Work): boolean {
  if (savedWork.candidates !== null && work.candidates !== savedWork.candidates) return true;
  return dirtyLabels(work).length > 0;
}

/** Labels that were changed here, by take. A take that was never read from the server is none of them. */
export function dirtyLabels(work: Work): [takeId: string, labels: Labels][] {
  return Object.entries(work.labels).filter(
    ([id, labels]) => savedWork.labels.has(id) && savedWork.labels.get(id) !== labels,
  );
}
