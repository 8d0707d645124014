import { formatCandidateFile, parseCandidateFile } from '../../server/engine/settings/candidateFile.ts';
import { chooseFile } from './chooseFiles.ts';
import { notifyUndoable } from './history.ts';
import type { Slot } from './model.ts';
import { messageOf, notify } from './notices.ts';
import { saveFile } from './saveFile.ts';
import { candidates, dispatch } from './store.ts';

/** Saves a candidate as a file that `pickCandidate` and the command line read. */
export function exportCandidate(slot: Slot): void {
  const text = formatCandidateFile(candidates[slot].peek());
  saveFile(`candidate-${slot}.json`, text, 'application/json');
}

/** Puts the candidate of a file in the place of A or B; what is none is refused, and its place in the file told. */
async function importCandidate(slot: Slot, file: File): Promise<void> {
  try {
    const candidate = parseCandidateFile(await file.text());
    dispatch({ type: 'candidateReplaced', slot, candidate });
    notifyUndoable(`Candidate ${slot.toUpperCase()} is now the one of ${file.name}.`);
  } catch (error) {
    notify('error', `${file.name}: ${messageOf(error)}`);
  }
}

export function pickCandidate(slot: Slot): void {
  chooseFile('.json,application/json', (file) => void importCandidate(slot, file));
}
