import { gravityFactor, isGravityRole } from '../ground/gravityUnit.ts';
import type { ColumnMapping, GravityRole, Mapping, MotionRole } from '../ground/types.ts';
import { MOTION_ROLES } from '../ground/types.ts';
import { partDigits } from '../ground/units.ts';
import type { ClockKind, TablePlan } from './rawTable.ts';

/** What to read of one file. */
export function planTable(mapping: Mapping, file: number): TablePlan {
  const columns = mapping.columns.filter((column) => column.file === file);
  const clock = columns.find(({ role }) => role === 'time');
  const motion = columns
    .filter(({ role }) => isGravityRole(role) || (MOTION_ROLES as readonly string[]).includes(role))
    .map(({ index, role, reversed = false }) => ({
      index,
      role: role as MotionRole | GravityRole,
      reversed,
    }));
  const gravity = columns.find(({ role }) => isGravityRole(role));
  const accelUnit = columns.find(({ role }) => role === 'accelX')?.unit ?? '';
  const tracks = columns
    .filter(({ role }) => role === 'button' || role === 'label')
    .map(({ index, role }) => ({ index, role: role as 'button' | 'label' }));
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
