import { isAxis, isGravityRole, isTrack } from '../../engine/base/columnRoles.ts';
import { gravityFactor } from '../ground/gravityUnit.ts';
import type { ColumnMapping, Mapping } from '../ground/types.ts';
import { partDigits } from '../ground/units.ts';
import type { ClockKind, TablePlan } from './rawTable.ts';

/** What to read of one file. */
export function planTable(mapping: Mapping, file: number): TablePlan {
  const columns = mapping.columns.filter((column) => column.file === file);
  const clock = columns.find(({ role }) => role === 'time');
  const motion = columns.flatMap(({ index, role, reversed = false }) =>
    isAxis(role) ? [{ index, role, reversed }] : [],
  );
  const gravity = columns.find(({ role }) => isGravityRole(role));
  const accelUnit = columns.find(({ role }) => role === 'accelX')?.unit ?? '';
  const tracks = columns.flatMap(({ index, role }) => (isTrack(role) ? [{ index, role }] : []));
  return {
    file: mapping.files[file]!,
    clockKind: clock ? clockKind(clock.unit) : 'none',
    clockIndex: clock?.index ?? -1,
    clockPartDigits: partDigits(clock?.unit ?? ''),
    motion,
    gravityFactor: gravity ? gravityFactor(gravity.unit, accelUnit) : 1,
    tracks,
    headerFields: mapping.files[file]!.headerLine === null ? null : headerOf(columns),
  };
}

function clockKind(unit: string): ClockKind {
  return unit === 'iso8601' || unit === 'timeOfDay' ? unit : 'decimal';
}

function headerOf(columns: readonly ColumnMapping[]): string[] {
  return [...columns].sort((a, b) => a.index - b.index).map(({ name }) => name);
}
