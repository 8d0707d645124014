import { isGravityRole, sensorOf } from '../../engine/base/columnRoles.ts';
import type { Mended } from '../ground/mended.ts';
import type { BadRow } from '../ground/types.ts';
import { lineOfRow, type RawTable } from '../table/rawTable.ts';
import { widthOf } from './signedCodes.ts';

/** Rows of a table that hold cells and no measurement. */
interface Unmeasured {
  /** As long as the table: 1 for a row to leave out. */
  readonly skip: Uint8Array;
  readonly badRows: readonly BadRow[];
  readonly zeroRows: number;
  readonly mended: readonly Mended[];
}

/** A value this many times the next largest one of its sensor is no reading: a swing rises through many values. */
const ABSURD_RATIO = 300;
/** The same for a number that programs write where they have none: all nines, and the ends of wide integers. */
const STAND_IN_RATIO = 20;
const STAND_INS = [2_147_483_647, 2_147_483_648, 4_294_967_295];
/** Wild values are accidents: where they are commoner than this, something else is wrong with the column. */
const RARE = 0.01;
/** With gravity in it, an accelerometer reads next to nothing only in free fall. */
const NEXT_TO_NOTHING = 0.3;
const FREE_FALL_SHARE = 0.05;

/** Finds rows of zeros alone and absurd values; null where there are none. */
export function findUnmeasured(table: RawTable): Unmeasured | null {
  const zeros = findZeroRows(table);
  const absurd = findAbsurd(table);
  if (zeros.length + absurd.length === 0) return null;
  const skip = new Uint8Array(table.rows);
  const badRows: BadRow[] = [];
  const mended: Mended[] = [];
  for (const row of zeros) skip[row] = 1;
  if (zeros.length > 0) mended.push({ kind: 'zeroRows', rows: zeros.length, runs: runsOf(table, zeros) });
  for (const { row, column, why } of absurd) {
    if (skip[row] === 0)
      badRows.push({ file: table.plan.file.name, line: lineOfRow(table, row), column: column + 1, why });
    skip[row] = 1;
  }
  if (badRows.length > 0) mended.push({ kind: 'absurdRows', rows: badRows.length });
  return { skip, badRows, zeroRows: zeros.length, mended };
}

/**
 * Rows in which every axis reads exactly 0. A gyroscope at rest may, and so may an acceleration without gravity; a force
 * at rest is 1 g.
 */
function findZeroRows({ plan, columns, rows }: RawTable): number[] {
  const force = columns.filter((_, i) => sensorOf(plan.motion[i]!.role) !== 'gyro');
  if (force.length < 3) return [];
  const zeros: number[] = [];
  const first = columns[0]!;
  for (let row = 0; row < rows; ++row) {
    let isZero = first[row] === 0;
    for (let i = 1; i < columns.length && isZero; ++i) isZero = columns[i]![row] === 0;
    if (isZero) zeros.push(row);
  }
  if (zeros.length === 0) return zeros;
  const hasGravity = plan.motion.some(({ role }) => isGravityRole(role)) || restsFarFromZero(force, zeros);
  return hasGravity ? zeros : [];
}

function restsFarFromZero(force: readonly Float64Array[], zeros: readonly number[]): boolean {
  const isZero = new Set(zeros);
  // Codes without their sign have small negative readings at the end of their range.
  const bits = widthOf(force);
  const sizeOf = (value: number) => (bits === null ? value : Math.min(value, 2 ** bits - value));
  const lengths = force[0]!
    .map((_, row) => Math.hypot(...force.map((axis) => sizeOf(axis[row]!))))
    .filter((_, row) => !isZero.has(row))
    .sort();
  const usual = lengths[lengths.length >> 1] ?? 0;
  const low = lengths.findIndex((length) => length >= NEXT_TO_NOTHING * usual);
  return usual > 0 && low <= FREE_FALL_SHARE * lengths.length;
}

/** First and last line of each run of rows. */
function runsOf(table: RawTable, rows: readonly number[]): [number, number][] {
  const runs: [number, number][] = [];
  for (let i = 0; i < rows.length; ) {
    let end = i;
    while (end + 1 < rows.length && rows[end + 1] === rows[end]! + 1) ++end;
    runs.push([lineOfRow(table, rows[i]!), lineOfRow(table, rows[end]!)]);
    i = end + 1;
  }
  return runs;
}

interface AbsurdCell {
  readonly row: number;
  readonly column: number;
  readonly why: string;
}

function findAbsurd({ plan, columns }: RawTable): AbsurdCell[] {
  const found: AbsurdCell[] = [];
  for (const sensor of ['gyro', 'accel', null] as const) {
    const slots = plan.motion.flatMap(({ role }, i) => (sensorOf(role) === sensor ? [i] : []));
    const bound = absurdFrom(slots.map((i) => columns[i]!));
    if (bound === null) continue;
    for (const slot of slots) {
      columns[slot]!.forEach((value, row) => {
        if (Math.abs(value) < bound.least) return;
        const why = `${shown(value)} is absurd: the largest of the others is ${shown(bound.usual)}`;
        found.push({ row, column: plan.motion[slot]!.index, why });
      });
    }
  }
  return found.sort((a, b) => a.row - b.row);
}

/** From which size on values are absurd, and the largest that is not; null where none is. */
function absurdFrom(columns: readonly Float64Array[]): { least: number; usual: number } | null {
  const count = columns.reduce((sum, { length }) => sum + length, 0);
  let least = Infinity;
  for (let below = Infinity; ; below = least) {
    const largest = largestBelow(columns, below);
    const ratio = isStandIn(largest) ? STAND_IN_RATIO : ABSURD_RATIO;
    const jump = jumpAcross(columns, largest / ratio, ratio);
    if (jump === null || countFrom(columns, jump) > RARE * count)
      return least === Infinity ? null : { least, usual: largest };
    least = jump;
  }
}

function isStandIn(size: number): boolean {
  return STAND_INS.includes(size) || /^9{4,}$/.test(String(size));
}

/** Largest size below a bound, 0 for none. */
function largestBelow(columns: readonly Float64Array[], bound: number): number {
  let largest = 0;
  for (const column of columns) {
    for (let i = 0; i < column.length; ++i) {
      const size = Math.abs(column[i]!);
      // Asked in this order, as hardly any is larger.
      if (size > largest && size < bound) largest = size;
    }
  }
  return largest;
}

/**
 * The smallest size from a bound on, where it is `ratio` times the largest below the bound or more; null where it is not.
 * Most columns show after a few values that it is not.
 */
function jumpAcross(columns: readonly Float64Array[], bound: number, ratio: number): number | null {
  let below = 0;
  let above = Infinity;
  for (const column of columns) {
    for (let i = 0; i < column.length; ++i) {
      const size = Math.abs(column[i]!);
      if (size < bound && size > below) below = size;
      else if (size >= bound && size < above) above = size;
      else continue;
      if (above / below < ratio) return null;
    }
  }
  return below > 0 ? above : null;
}

function countFrom(columns: readonly Float64Array[], least: number): number {
  let count = 0;
  for (const column of columns)
    for (let i = 0; i < column.length; ++i) if (Math.abs(column[i]!) >= least) ++count;
  return count;
}

function shown(value: number): string {
  return String(Number(value.toPrecision(6)));
}
