import type { ClockKind, TablePlan } from './tableBuilder.ts';
import type { Mapping, MotionRole } from './types.ts';
import { MOTION_ROLES } from './types.ts';

/** What to read of one file. */
export function planTable(mapping: Mapping, file: number, headerFields: readonly string[] | null): TablePlan {
  const columns = mapping.columns.filter((column) => column.file === file);
  const clock = columns.find(({ role }) => role === 'time');
  const motion = columns
    .filter(({ role }) => (MOTION_ROLES as readonly string[]).includes(role))
    .map(({ index, role }) => ({ index, role: role as MotionRole }));
  const tracks = columns
    .filter(({ role }) => role === 'button' || role === 'label')
    .map(({ index, role }) => ({ index, role: role as 'button' | 'label' }));
  return {
    file: mapping.files[file]!,
    clockKind: clock ? clockKind(clock.unit) : 'none',
    clockIndex: clock?.index ?? -1,
    motion,
    tracks,
    headerFields,
  };
}

function clockKind(unit: string): ClockKind {
  return unit === 'iso8601' || unit === 'timeOfDay' ? unit : 'decimal';
}
