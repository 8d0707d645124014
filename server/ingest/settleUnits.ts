import { chooseAccelUnit, chooseGyroUnit, type Evidence, type StatedUnit } from './evidence.ts';
import type { FileHead } from './fileHead.ts';
import { withNote } from './reasonNotes.ts';
import type { ColumnMapping, Mapping, Overrides } from './types.ts';
import { canonicalUnit } from './units.ts';

export interface SettledUnits {
  readonly mapping: Mapping;
  readonly needs: readonly string[];
}

/** Fills the units of acceleration and rates in, from what is stated and from what the data say. */
export function settleUnits(
  draft: Mapping,
  heads: readonly FileHead[],
  overrides: Overrides,
  evidence: Evidence,
): SettledUnits {
  const accel = chooseAccelUnit(findStated('accel', draft, heads, overrides), evidence);
  const rangeDps = heads.find(({ facts }) => facts.gyroRangeDps !== null)?.facts.gyroRangeDps ?? null;
  const gyro = chooseGyroUnit(findStated('gyro', draft, heads, overrides), evidence, accel.unit, rangeDps);
  const needs: string[] = [];
  if (accel.unit === null) needs.push(`the unit of acceleration is unknown (${accel.reason}): state it`);
  if (gyro.unit === null) needs.push(`the unit of angular rate is unknown (${gyro.reason}): state it`);
  const columns = draft.columns.map((column): ColumnMapping => {
    const kind = kindOf(column);
    if (kind === null) return column;
    // A unit stated for this one column stands.
    const own = overrides.roles?.find(
      ({ file, index }) => file === column.file && index === column.index,
    )?.unit;
    const found = kind === 'accel' ? accel : gyro;
    const unit = own === undefined ? (found.unit ?? '') : (canonicalUnit(kind, own) ?? '');
    const note = own === undefined ? found.warning : null;
    return { ...column, unit, reason: withNote(`${column.reason}; ${found.reason}`, note) };
  });
  return { mapping: { ...draft, columns }, needs };
}

function kindOf({ role }: ColumnMapping): 'accel' | 'gyro' | null {
  if (role.startsWith('accel')) return 'accel';
  return role.startsWith('gyro') ? 'gyro' : null;
}

function findStated(
  kind: 'accel' | 'gyro',
  { columns }: Mapping,
  heads: readonly FileHead[],
  overrides: Overrides,
): StatedUnit {
  const first = columns.find(({ role }) => role === `${kind}X`)!;
  const override = kind === 'accel' ? overrides.accelUnit : overrides.gyroUnit;
  const own = overrides.roles?.find(({ file, index }) => file === first.file && index === first.index)?.unit;
  const byUser = override ?? own;
  const head = heads[first.file]!;
  const column = head.columns[first.index]!;
  const codes = column.reading.codes || column.rowCodes;
  if (byUser !== undefined)
    return { unit: canonicalUnit(kind, byUser), where: 'your setting', byUser: true, codes };
  const { unit } = column.reading;
  if (unit?.quantity === kind) return { unit: unit.unit, where: 'the column name', byUser: false, codes };
  const rowUnit = column.rowUnit === null ? null : canonicalUnit(kind, column.rowUnit);
  if (rowUnit !== null) return { unit: rowUnit, where: 'the row of units', byUser: false, codes };
  const noted = kind === 'accel' ? head.facts.accelUnit : head.facts.gyroUnit;
  return {
    unit: codes && !noted?.startsWith('lsb:') ? null : noted,
    where: 'a note in the file',
    byUser: false,
    codes,
  };
}
