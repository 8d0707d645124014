import { IDENTITY_MOUNT } from '../engine/mount.ts';
import { chooseAccelUnit, chooseGyroUnit, type Evidence } from './evidence.ts';
import type { FileHead } from './fileHead.ts';
import { isSameColumn } from './remembered.ts';
import { findStated, statedRangeDps } from './settleUnits.ts';
import type { Mapping, Overrides, Role, RoleOverride } from './types.ts';
import { canonicalUnit, type Quantity } from './units.ts';

type Guessed = (role: Role, column: { readonly file: number; readonly index: number }) => string | null;

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
  const guessed = guessedUnits(guess, draft, heads, evidence);
  const { rateHz, timeUnit, accelUnit, gyroUnit, mount } = stated;
  const roles = stated.roles?.filter((one) => differs(one, guess, guessed)) ?? [];
  const clock = guess.columns.find(({ role }) => role === 'time');
  const isUnit = (quantity: Quantity, text: string | undefined, known: string | null): boolean =>
    text !== undefined && (known === null || canonicalUnit(quantity, text) !== known);
  return {
    ...(rateHz !== undefined && isRateUsed(draft) && rateHz !== guess.rateHz ? { rateHz } : {}),
    ...(isUnit('time', timeUnit, clock?.unit ?? null) ? { timeUnit: timeUnit! } : {}),
    ...(isUnit('accel', accelUnit, guessed('accelX', NOWHERE)) ? { accelUnit: accelUnit! } : {}),
    ...(isUnit('gyro', gyroUnit, guessed('gyroX', NOWHERE)) ? { gyroUnit: gyroUnit! } : {}),
    ...(roles.length > 0 ? { roles } : {}),
    ...(mount && !isIdentity(mount) ? { mount } : {}),
  };
}

const NOWHERE = { file: -1, index: -1 };

/** True where a stated rate is what tells the time: without a clock, or with one that counts samples. */
function isRateUsed({ columns }: Mapping): boolean {
  const clocks = columns.filter(({ role }) => role === 'time');
  return clocks.length === 0 || clocks.some(({ unit }) => unit === 'counter');
}

function differs(one: RoleOverride, guess: Mapping, guessed: Guessed): boolean {
  const column = guess.columns.find((own) => isSameColumn(own, one));
  if (!column) return false;
  if (column.role !== one.role) return true;
  if (one.unit === undefined) return false;
  const known = guessed(one.role, one);
  return known === null || (unitOf(one.role, one.unit) ?? one.unit) !== known;
}

function unitOf(role: Role, text: string): string | null {
  if (role === 'time') return canonicalUnit('time', text);
  if (role.startsWith('gyro')) return canonicalUnit('gyro', text);
  return role.startsWith('accel') ? canonicalUnit('accel', text) : null;
}

/** The unit that each role would have without any statement; null where that is not known. */
function guessedUnits(
  guess: Mapping,
  draft: Mapping,
  heads: readonly FileHead[],
  evidence: Evidence | null,
): Guessed {
  const accel = evidence && chooseAccelUnit(findStated('accel', draft, heads, {}), evidence).unit;
  const gyro =
    evidence &&
    chooseGyroUnit(findStated('gyro', draft, heads, {}), evidence, accel, statedRangeDps(heads)).unit;
  return (role, place) => {
    if (role.startsWith('accel')) return accel;
    if (role.startsWith('gyro')) return gyro;
    return guess.columns.find((column) => isSameColumn(column, place))?.unit ?? null;
  };
}

function isIdentity({ tip, side, correctionDeg }: NonNullable<Overrides['mount']>): boolean {
  const isTurned = correctionDeg?.some((angle) => angle !== 0) ?? false;
  return tip === IDENTITY_MOUNT.tip && side === IDENTITY_MOUNT.side && !isTurned;
}
