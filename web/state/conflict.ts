import { signal } from '@preact/signals';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { FIELD_PATHS, readField, withField } from '../../server/engine/settings/candidateRules.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { fetchWorkspace } from '../api.ts';
import { documents } from '../takes/documents.ts';
import { mergeLabels } from './mergeLabels.ts';
import type { Slot, Work } from './model.ts';
import { adoptLabels, savedWork } from './savedWork.ts';
import { bothCandidates, dispatch, labelsByTake } from './store.ts';

/** Work that another tab was faster to save: what both went on from, and what there is now. */
export type Conflict =
  | { readonly kind: 'labels'; readonly base: Labels; readonly theirs: TakeDocument }
  | {
      readonly kind: 'candidates';
      readonly base: Work['candidates'];
      readonly theirs: Work['candidates'] & { readonly revision: number };
    };

/** The one that the user looks at. */
export const conflict = signal<Conflict | null>(null);

export type Way = 'theirs' | 'mine' | 'both';

/** Reads what the server has now. @param takeId  whose labels; null for the candidates. */
export async function openConflict(takeId: string | null): Promise<void> {
  if (takeId === null) {
    const { candidates } = await fetchWorkspace();
    conflict.value = { kind: 'candidates', base: savedWork.candidates!, theirs: candidates };
    return;
  }
  const { labels } = savedWork.labels.get(takeId)!;
  conflict.value = { kind: 'labels', base: labels, theirs: await documents.readNow(takeId) };
}

/** Puts one side's work, or both, into the page: from there it is saved like any other change. */
export function settleConflict(found: Conflict, way: Way): void {
  conflict.value = null;
  if (found.kind === 'labels') settleLabels(found.base, found.theirs, way);
  else settleCandidates(found, way);
}

function settleLabels(base: Labels, theirs: TakeDocument, way: Way): void {
  const { id, labels, revision } = theirs;
  const mine = labelsByTake.peek()[id] ?? base;
  if (way === 'theirs') adoptLabels(theirs);
  else {
    savedWork.labels.set(id, { labels, revision });
    const kept = way === 'mine' ? { ...mine } : mergeLabels(base, mine, labels).labels;
    dispatch({ type: 'labelsChanged', takeId: id, labels: kept });
  }
}

function settleCandidates({ base, theirs }: Extract<Conflict, { kind: 'candidates' }>, way: Way): void {
  const mine = bothCandidates.peek();
  savedWork.candidatesRevision = theirs.revision;
  if (way === 'theirs') {
    dispatch({ type: 'candidatesLoaded', a: theirs.a, b: theirs.b });
    savedWork.candidates = bothCandidates.peek();
  } else if (way === 'both') {
    for (const slot of ['a', 'b'] as const)
      dispatch({
        type: 'candidateReplaced',
        slot,
        candidate: mergeCandidate(base[slot], mine[slot], theirs[slot]),
      });
  }
}

/** Each setting that only one side changed as that side has it; where both did, theirs. */
function mergeCandidate(base: Candidate, mine: Candidate, theirs: Candidate): Candidate {
  return FIELD_PATHS.reduce((merged, path) => {
    const [before, own, other] = [base, mine, theirs].map((one) => readField(one, path));
    return own !== before && other === before ? withField(merged, path, own!) : merged;
  }, theirs);
}

/** Settings in which the page's candidates differ from those that were saved elsewhere. */
export interface CandidateDifference {
  readonly slot: Slot;
  readonly path: string;
  readonly mine: number | string;
  readonly theirs: number | string;
  /** Both sides changed it: together, theirs stands. */
  readonly isContradicted: boolean;
}

export function candidateDifferences(
  { base, theirs }: Extract<Conflict, { kind: 'candidates' }>,
  mine: Work['candidates'],
): CandidateDifference[] {
  return (['a', 'b'] as const).flatMap((slot) =>
    FIELD_PATHS.flatMap((path) => {
      const [before, own, other] = [base, mine, theirs].map((one) => readField(one[slot], path));
      if (own === other) return [];
      return [{ slot, path, mine: own!, theirs: other!, isContradicted: own !== before && other !== before }];
    }),
  );
}
