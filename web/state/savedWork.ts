import type { Labels } from '../../server/engine/truth/labels.ts';
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
  return dirtyTakes(work).length > 0;
}

/** Takes whose labels were changed here. A take that was never read from the server is none of them. */
export function dirtyTakes(work: Work): string[] {
  return [...savedWork.labels].filter(([id, labels]) => work.labels[id] !== labels).map(([id]) => id);
}
