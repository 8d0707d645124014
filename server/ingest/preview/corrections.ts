import { COLUMN_ROLES, type Role, sensorOf } from '../../engine/base/columnRoles.ts';
import { isSameColumn } from '../ground/remembered.ts';
import type { Mapping, Overrides, RoleOverride } from '../ground/types.ts';
import { canonicalUnit, type Quantity } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import { chooseAccelUnit } from '../units/chooseAccelUnit.ts';
import { chooseGyroUnit, type Evidence } from '../units/evidence.ts';
import { findStated, statedRangeDps, statedRangeG } from './settleUnits.ts';

/** The units that acceleration and rates would have without any statement; null where that is not known. */
interface GuessedUnits {
  readonly accel: string | null;
  readonly gyro: string | null;
}

/**
 * What of the statements differs from what would be guessed without them: the rest is not worth remembering.
 * @param guess  the mapping without any statement
 * @param draft  the mapping with them
 * @param evidence  null where the log has not been read: then every stated unit of motion counts as differing
 */
export function findCorrections(
  stated: Overrides,
  guess: Mapping,
  draft: Mapping,
  heads: readonly FileHead[],
  evidence: Evidence | null,
): Overrides {
  const guessed = guessedUnits(draft, heads, evidence);
  const { rateHz, clock: use, timeUnit, accelUnit, gyroUnit, mount } = stated;
  const roles = stated.roles?.filter((one) => differs(one, guess, guessed)) ?? [];
  // A guess reverses nothing.
  const reversed =
    stated.reversed?.filter((one) => draft.columns.some((own) => own.reversed && isSameColumn(own, one))) ??
    [];
  const clock = guess.columns.find(({ role }) => role === 'time');
  const isUnit = (quantity: Quantity, text: string | undefined, known: string | null): boolean =>
    text !== undefined && (known === null || canonicalUnit(quantity, text) !== known);
  return {
    ...(rateHz !== undefined && isRateUsed(draft) && rateHz !== guess.rateHz ? { rateHz } : {}),
    ...(use === undefined ? {} : { clock: use }),
    ...(isUnit('time', timeUnit, clock?.unit ?? null) ? { timeUnit: timeUnit! } : {}),
    ...(isUnit('accel', accelUnit, guessed.accel) ? { accelUnit: accelUnit! } : {}),
    ...(isUnit('gyro', gyroUnit, guessed.gyro) ? { gyroUnit: gyroUnit! } : {}),
    ...(roles.length > 0 ? { roles } : {}),
    ...(reversed.length > 0 ? { reversed } : {}),
    // That x points to the tip is taken anyway; that somebody said so is not.
    ...(mount ? { mount } : {}),
  };
}

/** True where a stated rate is what tells the time: without a clock, with one that counts samples, or an even one. */
function isRateUsed({ columns, evenHz }: Mapping): boolean {
  if (evenHz !== undefined) return true;
  const clocks = columns.filter(({ role }) => role === 'time');
  return clocks.length === 0 || clocks.some(({ unit }) => unit === 'counter');
}

function differs(one: RoleOverride, guess: Mapping, guessed: GuessedUnits): boolean {
  const column = guess.columns.find((own) => isSameColumn(own, one));
  if (!column) return false;
  if (column.role !== one.role) return true;
  if (one.unit === undefined) return false;
  const kind = sensorOf(one.role);
  const known = kind === null ? column.unit : guessed[kind];
  return known === null || canonical(one.role, one.unit) !== known;
}

/** The unit as a mapping holds it. */
function canonical(role: Role, unit: string): string {
  const { units } = COLUMN_ROLES[role];
  const quantity = units === 'time' ? units : sensorOf(role);
  return (quantity && canonicalUnit(quantity, unit)) ?? unit;
}

function guessedUnits(draft: Mapping, heads: readonly FileHead[], evidence: Evidence | null): GuessedUnits {
  if (evidence === null) return { accel: null, gyro: null };
  const accel = chooseAccelUnit(findStated('accel', draft, heads, {}), evidence, statedRangeG(heads)).unit;
  const stated = findStated('gyro', draft, heads, {});
  return { accel, gyro: chooseGyroUnit(stated, evidence, accel, statedRangeDps(heads)).unit };
}
