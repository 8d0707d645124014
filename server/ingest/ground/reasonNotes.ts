import type { Mapping } from './types.ts';

/** Parts a reason from what is doubtful about it. */
const NOTE_MARK = '; note: ';

/** The reason with what the user should hear about it; null for nothing. */
export function withNote(reason: string, note: string | null): string {
  return note === null ? reason : reason + NOTE_MARK + note;
}

/** A column's reason without what is doubtful about it: that stands in the report's warnings. */
export function plainReason(reason: string): string {
  return reason.split(NOTE_MARK)[0]!;
}

/** What the reasons of a mapping's columns say that the user should hear, each once. */
export function reasonNotes({ columns }: Pick<Mapping, 'columns'>): string[] {
  const notes = columns.flatMap(({ role, reason }) =>
    role === 'ignored' ? [] : reason.split(NOTE_MARK).slice(1),
  );
  return [...new Set(notes)];
}
