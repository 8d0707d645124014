import { sensorOf } from '../../engine/base/columnRoles.ts';
import { isSameColumn } from '../ground/remembered.ts';
import type { ColumnMapping, Mapping, Overrides, RoleOverride } from '../ground/types.ts';

/**
 * What would have to be stated for a log to be read by a mapping, given what is guessed without any statement. Units of motion
 * are no part of it, nor is the mount: a take has its own.
 */
export function statementsOf(mapping: Mapping, guess: Mapping): Overrides {
  const roles = mapping.columns.flatMap((column) => roleOf(column, guess));
  const rateHz = mapping.evenHz ?? mapping.rateHz;
  const reversed = mapping.columns
    .filter((column) => column.reversed)
    .map(({ file, index }) => ({ file, index }));
  return {
    ...(rateHz !== null && rateHz !== (mapping.evenHz === undefined ? guess.rateHz : null) ? { rateHz } : {}),
    ...(mapping.clock === undefined ? {} : { clock: mapping.clock }),
    ...(roles.length > 0 ? { roles } : {}),
    ...(reversed.length > 0 ? { reversed } : {}),
  };
}

/** The units of motion that would have to be stated: a guess knows them once nothing is missing. */
export function unitStatementsOf(mapping: Mapping, guess: Mapping): Overrides {
  const accelUnit = unitOf('accel', mapping, guess);
  const gyroUnit = unitOf('gyro', mapping, guess);
  return { ...(accelUnit === null ? {} : { accelUnit }), ...(gyroUnit === null ? {} : { gyroUnit }) };
}

/** A column that is another thing, or in another unit; those of motion have their units by sensor. */
function roleOf({ file, index, role, unit }: ColumnMapping, guess: Mapping): RoleOverride[] {
  const guessed = guess.columns.find((own) => isSameColumn(own, { file, index }));
  const isMotion = sensorOf(role) !== null;
  if (!guessed || (guessed.role === role && (isMotion || guessed.unit === unit))) return [];
  return [{ file, index, role, ...(isMotion || unit === '' ? {} : { unit }) }];
}

function unitOf(kind: 'accel' | 'gyro', mapping: Mapping, guess: Mapping): string | null {
  const own = mapping.columns.find(({ role }) => role === `${kind}X`)?.unit ?? '';
  const guessed = guess.columns.find(({ role }) => role === `${kind}X`)?.unit ?? '';
  return own === '' || own === guessed ? null : own;
}
