import { sensorOf } from '../../engine/base/columnRoles.ts';
import { withNotes } from '../ground/columnNotes.ts';
import type { LedgerEntry } from '../ground/ledger.ts';
import { isSameColumn, STATED_BY_YOU, type WhyStated } from '../ground/remembered.ts';
import type { ColumnMapping, Mapping, Overrides } from '../ground/types.ts';
import { canonicalUnit } from '../ground/units.ts';
import type { FileHead } from '../layout/fileHead.ts';
import { chooseAccelUnit } from '../units/chooseAccelUnit.ts';
import { chooseGyroUnit, type Evidence, type StatedUnit } from '../units/evidence.ts';

interface SettledUnits {
  readonly mapping: Mapping;
  readonly needs: readonly string[];
  readonly ledger: readonly LedgerEntry[];
}

/** Fills the units of acceleration and rates in, from what is stated and from what the data say. */
export function settleUnits(
  draft: Mapping,
  heads: readonly FileHead[],
  overrides: Overrides,
  evidence: Evidence,
  why: WhyStated = STATED_BY_YOU,
): SettledUnits {
  const accel = chooseAccelUnit(
    findStated('accel', draft, heads, overrides, why),
    evidence,
    statedRangeG(heads),
  );
  const gyro = chooseGyroUnit(
    findStated('gyro', draft, heads, overrides, why),
    evidence,
    accel.unit,
    statedRangeDps(heads),
  );
  const needs: string[] = [];
  if (accel.unit === null) needs.push(`the unit of acceleration is unknown (${accel.reason}): state it`);
  if (gyro.unit === null) needs.push(`the unit of angular rate is unknown (${gyro.reason}): state it`);
  const columns = draft.columns.map((column): ColumnMapping => {
    const kind = sensorOf(column.role);
    if (kind === null) return column;
    // A unit stated for this one column stands.
    const own = overrides.roles?.find((one) => isSameColumn(one, column))?.unit;
    const found = kind === 'accel' ? accel : gyro;
    const unit = own === undefined ? (found.unit ?? '') : (canonicalUnit(kind, own) ?? '');
    // Where both are stated, they are so for one reason.
    const reason = [...new Set([column.reason, found.reason])].join('; ');
    // What is doubtful of the three columns' unit says nothing of a column that was given another.
    const doubts = unit === found.unit && found.warning !== null ? [found.warning] : [];
    return withNotes({ ...column, unit, reason }, doubts);
  });
  return { mapping: { ...draft, columns }, needs, ledger: [accel.ledger, gyro.ledger] };
}

/** The units that user, names or notes state, for a preview that cannot go on yet; the others stay open. */
export function withStatedUnits(draft: Mapping, heads: readonly FileHead[], overrides: Overrides): Mapping {
  const columns = draft.columns.map((column): ColumnMapping => {
    const kind = sensorOf(column.role);
    if (kind === null || column.unit !== '' || !draft.columns.some(({ role }) => role === `${kind}X`))
      return column;
    return { ...column, unit: findStated(kind, draft, heads, overrides).unit ?? '' };
  });
  return { ...draft, columns };
}

/** Full scale of the accelerometer, where a file states it. */
export function statedRangeG(heads: readonly FileHead[]): number | null {
  return heads.find(({ facts }) => facts.accelRangeG !== null)?.facts.accelRangeG ?? null;
}

/** Full scale of the gyroscope, where a file states it. */
export function statedRangeDps(heads: readonly FileHead[]): number | null {
  return heads.find(({ facts }) => facts.gyroRangeDps !== null)?.facts.gyroRangeDps ?? null;
}

/** What user, names or notes state of a quantity's unit. */
export function findStated(
  kind: 'accel' | 'gyro',
  { columns }: Mapping,
  heads: readonly FileHead[],
  overrides: Overrides,
  why: WhyStated = STATED_BY_YOU,
): StatedUnit {
  const first = columns.find(({ role }) => role === `${kind}X`)!;
  const key = kind === 'accel' ? 'accelUnit' : 'gyroUnit';
  const own = overrides.roles?.find((one) => isSameColumn(one, first));
  const byUser = overrides[key] ?? own?.unit;
  const head = heads[first.file]!;
  const column = head.columns[first.index]!;
  const codes = column.reading.codes || column.rowCodes;
  if (byUser !== undefined) {
    const reason = overrides[key] === undefined ? why('roles', own) : why(key);
    return { unit: canonicalUnit(kind, byUser), where: 'your setting', byUser: true, codes, why: reason };
  }
  const guessed = { byUser: false, codes, why: '' };
  const { unit } = column.reading;
  if (unit?.quantity === kind) return { ...guessed, unit: unit.unit, where: 'the column name' };
  const rowUnit = column.rowUnit === null ? null : canonicalUnit(kind, column.rowUnit);
  if (rowUnit !== null) return { ...guessed, unit: rowUnit, where: 'the row of units' };
  const noted = kind === 'accel' ? head.facts.accelUnit : head.facts.gyroUnit;
  return {
    ...guessed,
    unit: codes && !noted?.startsWith('lsb:') ? null : noted,
    where: 'a note in the file',
  };
}
