import { isAxis } from '../../engine/base/columnRoles.ts';
import { withNotes } from '../ground/columnNotes.ts';
import { isSameColumn, type WhyStated } from '../ground/remembered.ts';
import type { ColumnMapping, ColumnPlace } from '../ground/types.ts';

/** The columns, those stated as reversed marked as such, with a note that the report shows; others keep their sign. */
export function reverseColumns(
  columns: readonly ColumnMapping[],
  stated: readonly ColumnPlace[],
  why: WhyStated,
): readonly ColumnMapping[] {
  if (stated.length === 0) return columns;
  return columns.map((column) => {
    if (!isAxis(column.role) || !stated.some((own) => isSameColumn(own, column))) return column;
    const note = `the sign of column "${column.name}" is reversed, ${why('reversed')}`;
    return withNotes({ ...column, reversed: true }, [note]);
  });
}
