import {
  COLUMN_ROLES,
  type GravityRole,
  isGravityRole,
  type MotionRole,
  sensorOf,
} from '../../engine/base/columnRoles.ts';
import { countOn, countRows, type RowClock } from '../clock/rowClock.ts';
import { isOutOfOrder } from '../clock/rowOrder.ts';
import { AS_THEY_LOOK, type StampChoice } from '../clock/spreadStamps.ts';
import { cleanClock, type TimeAxis } from '../clock/timeAxis.ts';
import type { Mended } from '../ground/mended.ts';
import { pick } from '../ground/pick.ts';
import type { BadRow } from '../ground/types.ts';
import { usPer } from '../ground/units.ts';
import { lineOfRow, type RawTable } from '../table/rawTable.ts';
import { type DecimalParts, partsValue } from '../text/stamps.ts';
import { restoreSigns } from './signedCodes.ts';
import { findUnmeasured } from './unmeasured.ts';

/** A file's table on its cleaned clock, values as in the file. */
export interface PreparedTable {
  readonly table: RawTable;
  readonly axis: TimeAxis;
  /** Kept rows only. */
  readonly timeUs: Float64Array;
  readonly columns: ReadonlyMap<MotionRole, Float64Array>;
  /** Gravity in columns of its own, as in the file; it is in `columns` already. */
  readonly gravity: ReadonlyMap<GravityRole, Float64Array>;
  readonly clockUnit: string;
  /** The rows stand in another order than their stamps: no take can be made of them. */
  readonly isOutOfOrder: boolean;
  readonly badRows: readonly BadRow[];
  readonly badRowCount: number;
  /** Rows of zeros alone, left out. */
  readonly zeroRows: number;
  readonly mended: readonly Mended[];
}

/** What one file adds to a take. */
export interface FilePart {
  readonly file: number;
  readonly prepared: PreparedTable;
}

/**
 * Cleans up a table's clock and applies the outcome to its columns. The table's own arrays are used up.
 * @param clockUnit  unit of the clock column, or 'counter', or '' where there is none
 * @param rateHz  used for 'counter' and ''
 * @param choice  how a clock's stamps are to be taken
 */
export function prepareTable(
  table: RawTable,
  clockUnit: string,
  rateHz: number | null,
  choice: StampChoice = AS_THEY_LOOK,
): PreparedTable {
  // Before anything is mended: what looks like late rows and new starts may be this.
  const isShuffled = clockUnit !== '' && isOutOfOrder(table.clock);
  const { clock, mended } = clockOf(table, clockUnit);
  const base = table.base && clockUnit !== 'iso8601' ? partsValue(table.base) : 0;
  const unmeasured = findUnmeasured(table);
  const skip = unmeasured?.skip ?? null;
  if (skip !== null) coverUp(table.columns, skip);
  const signs = restoreSigns(columnsOf(table, 'gyro'), columnsOf(table, 'accel'));
  const axis = cleanClock(
    clock,
    base,
    unitMicros(clockUnit, rateHz),
    table.columns,
    skip,
    choice,
    table.lostRows,
  );
  const columns = new Map<MotionRole, Float64Array>();
  const gravity = new Map<GravityRole, Float64Array>();
  for (const [i, { role, reversed }] of table.plan.motion.entries()) {
    const values = pick(table.columns[i]!, axis.order);
    if (reversed) reverse(values);
    if (isGravityRole(role)) gravity.set(role, values);
    else columns.set(role, values);
  }
  addGravity(columns, gravity, table.plan.gravityFactor);
  const { name } = table.plan.file;
  const column = table.plan.clockIndex + 1;
  const strays = axis.strays.map((row) => ({
    file: name,
    line: lineOfRow(table, row),
    column,
    why: 'the time stamp lies far from those before and after',
  }));
  const left = [...strays, ...(unmeasured?.badRows ?? [])];
  return {
    table,
    axis,
    timeUs: pick(axis.rowUs, axis.order),
    columns,
    gravity,
    clockUnit,
    isOutOfOrder: isShuffled,
    badRows: [...table.badRows, ...left].sort((a, b) => a.line - b.line),
    badRowCount: table.badRowCount + left.length,
    zeroRows: unmeasured?.zeroRows ?? 0,
    mended: [...(signs === null ? [] : [signs]), ...mended, ...(unmeasured?.mended ?? []), ...axis.mended],
  };
}

/** Adds gravity, times a factor, to the acceleration of the same axis, in place. */
export function addGravity(
  accel: ReadonlyMap<MotionRole, Float64Array>,
  gravity: ReadonlyMap<GravityRole, Float64Array>,
  factor: number,
): void {
  for (const [role, values] of gravity) {
    const into = accel.get(COLUMN_ROLES[role].addsTo);
    if (!into) continue;
    for (let i = 0; i < into.length; ++i) into[i]! += factor * values[i]!;
  }
}

/** Turns the sign of every value, in place; 0 stays 0. */
function reverse(values: Float64Array): void {
  for (let i = 0; i < values.length; ++i) values[i] = 0 - values[i]!;
}

/** Rows that will be left out must not bend what is made of the others' range. */
function coverUp(columns: readonly Float64Array[], skip: Uint8Array): void {
  const first = skip.indexOf(0);
  for (const column of columns) {
    let value = column[first] ?? 0;
    for (let i = 0; i < column.length; ++i) {
      if (skip[i] === 1) column[i] = value;
      else value = column[i]!;
    }
  }
}

function columnsOf({ plan, columns }: RawTable, sensor: 'gyro' | 'accel'): Float64Array[] {
  return columns.filter((_, i) => sensorOf(plan.motion[i]!.role) === sensor);
}

/**
 * Time of the later table's first sample, counted from the earlier table's; null where their clocks have nothing in
 * common (one counts from 1970, the other from its own start).
 */
export function clockOffsetUs(from: PreparedTable, to: PreparedTable): number | null {
  const a = baseMicros(from);
  const b = baseMicros(to);
  if (a === null || b === null) return a === b ? 0 : null;
  return Number(b.whole - a.whole) + (b.rest - a.rest);
}

/** Microseconds since 1970 of the first sample, whole and rest; null where the clock has no epoch. */
export function epochMicros(
  prepared: PreparedTable,
): { readonly seconds: number; readonly micros: number } | null {
  const base = baseMicros(prepared);
  if (base === null || prepared.clockUnit === 'timeOfDay' || prepared.clockUnit === 'counter') return null;
  const seconds = Number(base.whole / 1_000_000n);
  if (prepared.clockUnit !== 'iso8601' && !(seconds > 1e9 && seconds < 3e9)) return null;
  return { seconds, micros: Number(base.whole % 1_000_000n) + Math.round(base.rest) };
}

function baseMicros({ table, axis, clockUnit }: PreparedTable): { whole: bigint; rest: number } | null {
  const { base } = table;
  if (base === null || clockUnit === '' || clockUnit === 'counter') return null;
  const units = wholeUnits(base);
  if (clockUnit === 'ns') {
    return {
      whole: units / 1000n,
      rest: Number(units % 1000n) / 1000 + base.fraction / 1000 + axis.originUs,
    };
  }
  const scale = usPer(clockUnit) ?? 1;
  return { whole: units * BigInt(scale), rest: base.fraction * scale + axis.originUs };
}

function wholeUnits({ high, low }: DecimalParts): bigint {
  // ISO stamps and times of day keep fractions of a microsecond in `low`.
  return BigInt(high) * 1_000_000_000n + BigInt(Math.floor(low));
}

/** Microseconds in a unit of the clock; with 'counter' and '' in a row at that rate. */
export function unitMicros(clockUnit: string, rateHz: number | null): number {
  if (clockUnit === 'iso8601' || clockUnit === 'timeOfDay') return 1;
  return usPer(clockUnit) ?? 1e6 / (rateHz ?? Number.NaN);
}

function clockOf(table: RawTable, clockUnit: string): RowClock {
  if (clockUnit === '') return countRows(table);
  return clockUnit === 'counter' ? countOn(table) : { clock: table.clock, mended: [] };
}
