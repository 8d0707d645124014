import { signal } from '@preact/signals';
import type { Candidate } from '../../server/engine/settings/candidate.ts';

/** The guards that Sweep has suggested and somebody has taken since the page was loaded, as text. */
const takenGuards = signal<ReadonlySet<string>>(new Set());

/** Notes that a suggestion was taken into a candidate. */
export function noteTaken({ guard }: Candidate): void {
  takenGuards.value = new Set(takenGuards.peek()).add(JSON.stringify(guard));
}

/** Whether a candidate's guard is a suggestion of Sweep that was taken, so that it has room. */
export function isSuggested({ guard }: Candidate): boolean {
  return takenGuards.value.has(JSON.stringify(guard));
}
