import { formatCandidateFile, parseCandidateFile } from '../../server/engine/candidateFile.ts';
import type { Slot } from './model.ts';
import { messageOf, notify } from './notices.ts';
import { saveFile } from './saveFile.ts';
import { dispatch, state } from './store.ts';

/** Saves a candidate as a file that `importCandidate` and the command line read. */
export function exportCandidate(slot: Slot): void {
  const text = formatCandidateFile(state.peek().work.candidates[slot]);
  saveFile(`candidate-${slot}.json`, text, 'application/json');
}

/** Puts the candidate of a file in the place of A or B; what is none is refused, and its place in the file told. */
export async function importCandidate(slot: Slot, file: File): Promise<void> {
  try {
    const candidate = parseCandidateFile(await file.text());
    dispatch({ type: 'candidateReplaced', slot, candidate });
    notify('fact', `Candidate ${slot.toUpperCase()} is now the one of ${file.name}.`, {
      label: 'Undo',
      run: () => dispatch({ type: 'undone' }),
    });
  } catch (error) {
    notify('error', `${file.name}: ${messageOf(error)}`);
  }
}

export function pickCandidate(slot: Slot): void {
  const input = document.createElement('input');
  input.type = 'file';
  input.accept = '.json,application/json';
  input.onchange = () => {
    const file = input.files?.[0];
    if (file) void importCandidate(slot, file);
  };
  input.click();
}
