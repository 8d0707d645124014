import {
  COLUMN_ROLES,
  isAxis,
  isDecision,
  MOTION_ROLES,
  type MotionRole,
  ROLES,
  sensorOf,
} from '../../engine/base/columnRoles.ts';
import { plural } from '../../engine/words/count.ts';
import { disorderText } from '../ground/disorder.ts';
import type { Mapping } from '../ground/types.ts';
import { NOUNS } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import type { OpenRole } from '../roles/weighSensors.ts';
import type { FilePart } from '../take/prepare.ts';

/**
 * What must be stated before the log can be read, one plain sentence each.
 * @param open  what the weighing leaves open
 */
export function findNeeds(mapping: Mapping, heads: readonly FileHead[], open: readonly OpenRole[]): string[] {
  const needs: string[] = open.map(({ need }) => need);
  const has = (role: string) => mapping.columns.some((column) => column.role === role);
  const missing = (kind: 'gyro' | 'accel') =>
    MOTION_ROLES.filter((role) => sensorOf(role) === kind && !has(role));
  for (const kind of ['gyro', 'accel'] as const) {
    const lost = missing(kind);
    const isOpen = open.some((own) => own.kind === kind);
    if (lost.length > 0 && !isOpen) needs.push(missingSentence(lost, NOUNS[kind], heads));
  }
  for (const [file, { name }] of heads.entries()) {
    const own = mapping.columns.filter((column) => column.file === file);
    if (!own.some(({ role }) => role !== 'ignored' && role !== 'time')) continue;
    if (open.some((one) => one.kind === 'time' && one.file === file)) continue;
    const clock = own.find(({ role }) => role === 'time');
    if (clock?.unit === '') {
      needs.push(`column "${clock.name}" is the time, in no known unit: say which unit it is in`);
      continue;
    }
    if (mapping.rateHz !== null || (clock && clock.unit !== 'counter')) continue;
    const why = clock
      ? `column "${clock.name}" counts samples and no rate is stated`
      : 'no time column and no stated rate';
    needs.push(`${heads.length > 1 ? `${name}: ` : ''}${why}: give the sample rate in Hz`);
  }
  for (const { role, file, name } of mapping.columns) {
    const { addsTo } = COLUMN_ROLES[role];
    const other = mapping.columns.find((column) => column.role === addsTo);
    if (other && other.file !== file)
      needs.push(`column "${name}" is gravity, but the acceleration stands in another file: leave it alone`);
  }
  for (const role of ROLES.filter((own) => isAxis(own) || isDecision(own))) {
    const twice = mapping.columns.filter((column) => column.role === role);
    if (twice.length > 1) needs.push(`${twice.length} columns are mapped to ${role}: keep one of them`);
  }
  return needs;
}

/** What must be said of the rows' order, and of stamps in bunches where nothing tells whether rows are lost between them. */
export function needsOfClock(parts: readonly FilePart[], { columns }: Mapping): string[] {
  return parts.flatMap(({ file, prepared }) => {
    const name = columns.find((column) => column.file === file && column.role === 'time')?.name ?? '';
    if (prepared.isOutOfOrder) return [disorderText(name)];
    const { undecided } = prepared.axis;
    if (undecided === null) return [];
    const figures = `about ${Math.round(undecided.rows)} rows every ${Math.round(undecided.cycleUs / 1000)} ms, ${Number(undecided.meanHz.toPrecision(4))} Hz on average`;
    return [
      `the stamps in column "${name}" come in bunches (${figures}) at an uneven pace: say whether rows follow each other evenly or were measured when they are stamped`,
    ];
  });
}

function missingSentence(lost: readonly MotionRole[], noun: string, heads: readonly FileHead[]): string {
  const axes = lost.map((role) => role.slice(-1).toLowerCase()).join(', ');
  const what =
    lost.length === 3
      ? `no columns of ${noun} were found`
      : `${noun} ${axes} ${plural(lost.length, 'was', 'were')} not found`;
  const advice =
    heads.length === 1 ? `say which columns hold it, or add the file that does` : 'say which columns hold it';
  return `${what}: ${advice} (columns: ${listColumns(heads)})`;
}

function listColumns(heads: readonly FileHead[]): string {
  const some = (names: readonly string[]) =>
    names.length > 12 ? `${names.slice(0, 12).join(', ')}, ...` : names.join(', ');
  if (heads.length === 1) return some(heads[0]!.layout.names);
  return heads.map(({ name, layout }) => `${name}: ${some(layout.names)}`).join('; ');
}
