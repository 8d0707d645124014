import type { Mended } from '../ground/mended.ts';
import { lineOfRow, type RawTable } from '../table/rawTable.ts';
import { judgeCounter } from './rowCounter.ts';
import { RESTART_STEPS } from './timeAxis.ts';

/** Ends of captures stand now and then: a blank line between all rows is a habit of the logger. */
const ROWS_AN_END = 20;
/** A counter that leaps by more shows the gap by itself. */
const LEAP_STEPS = 3;

/** A clock of rows, and what was made of lines between them. */
export interface RowClock {
  readonly clock: Float64Array;
  readonly mended: readonly Mended[];
}

/**
 * The clock of a log that has none: rows are counted, those too that could not be read, and the end of a capture (a blank
 * line, the header again) is a gap.
 */
export function countRows(table: RawTable): RowClock {
  const { rows, lostRows } = table;
  const ends = captureEnds(table);
  const clock = new Float64Array(rows);
  let lost = 0;
  let end = 0;
  for (let i = 0; i < rows; ++i) {
    while (lost < lostRows.length && lostRows[lost]! <= i) ++lost;
    while (end < ends.length && ends[end]! <= i) ++end;
    clock[i] = i + lost + end * (RESTART_STEPS - 1);
  }
  return { clock, mended: endsAt(table, ends) };
}

/**
 * The same for a column that counts samples: it is moved on at the ends of captures across which it goes on. Where it does
 * not count rows, these are counted instead.
 */
export function countOn(table: RawTable): RowClock {
  const { clock, plan } = table;
  const { isBelieved, mended } = judgeCounter(clock, plan.clockIndex + 1);
  if (!isBelieved) {
    const counted = countRows(table);
    return { clock: counted.clock, mended: [...mended, ...counted.mended] };
  }
  const ends = captureEnds(table).filter((row) => {
    const step = clock[row]! - clock[row - 1]!;
    return step > 0 && step <= LEAP_STEPS;
  });
  let shift = 0;
  let end = 0;
  for (let i = 0; i < clock.length; ++i) {
    for (; end < ends.length && ends[end]! <= i; ++end) shift += RESTART_STEPS - 1;
    clock[i]! += shift;
  }
  return { clock, mended: [...mended, ...endsAt(table, ends)] };
}

function captureEnds({ breaks, rows }: RawTable): number[] {
  const inside = breaks.filter((row) => row > 0 && row < rows);
  return inside.length * ROWS_AN_END <= rows ? inside : [];
}

function endsAt(table: RawTable, ends: readonly number[]): Mended[] {
  return ends.length === 0 ? [] : [{ kind: 'captureEnds', lines: ends.map((row) => lineOfRow(table, row)) }];
}
