import type { ColumnMapping } from './types.ts';

/** A column with more that the user should hear about it. */
export function withNotes<Column extends Pick<ColumnMapping, 'notes'>>(
  column: Column,
  more: readonly string[],
): Column {
  return more.length === 0 ? column : { ...column, notes: [...(column.notes ?? []), ...more] };
}

/** What is doubtful about columns that are read, each once. */
export function columnNotes(columns: readonly ColumnMapping[]): string[] {
  return [...new Set(columns.flatMap(({ role, notes = [] }) => (role === 'ignored' ? [] : notes)))];
}
