import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import type { Slot } from '../../state/model.ts';
import { candidates, dispatch } from '../../state/store.ts';
import { noteTaken } from '../../state/suggested.ts';

/**
 * Puts a suggestion into a candidate. What the map rests on comes along, for with another smoothing or release ratio the
 * suggested numbers would mean something else; the candidate's other settings stay.
 */
export function takeSuggestion(slot: Slot, part: Partial<Candidate>): void {
  const candidate = Object.freeze({ ...candidates[slot].peek(), ...part });
  dispatch({ type: 'candidateReplaced', slot, candidate });
  // What is taken is what is looked at next.
  dispatch({ type: 'slotChosen', slot });
  if (part.guard) noteTaken(candidate);
}

/** Whether a candidate holds the parts already. */
export function isTaken(candidate: Candidate, part: Partial<Candidate>): boolean {
  return Object.entries(part).every(
    ([name, value]) => JSON.stringify(candidate[name as keyof Candidate]) === JSON.stringify(value),
  );
}
