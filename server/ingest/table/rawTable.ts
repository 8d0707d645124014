import type { GravityRole, MotionRole, TrackRole } from '../../engine/base/columnRoles.ts';
import type { BadRow, FileMapping } from '../ground/types.ts';
import type { DecimalParts } from '../text/stamps.ts';

/** How a clock's cells are read. */
export type ClockKind = 'decimal' | 'iso8601' | 'timeOfDay' | 'none';

interface MotionColumn {
  readonly index: number;
  readonly role: MotionRole | GravityRole;
  /** True where its values are taken with the other sign, once they are read. */
  readonly reversed?: boolean;
}

/** What becomes of each column while rows are read. */
export interface TablePlan {
  readonly file: FileMapping;
  readonly clockKind: ClockKind;
  /** Column of the clock, -1 for none. */
  readonly clockIndex: number;
  /** Digits of the part behind a stamp's point where it is not padded with zeros; 0 where a stamp is a decimal number. */
  readonly clockPartDigits: number;
  readonly motion: readonly MotionColumn[];
  /** What columns of gravity are multiplied by before they are added to the acceleration. */
  readonly gravityFactor: number;
  /** Columns of buttons, of the prop's decisions and of labels. */
  readonly tracks: readonly { readonly index: number; readonly role: TrackRole }[];
  /** Header text, to know it when it comes again. */
  readonly headerFields: readonly string[] | null;
}

/** A text of such a column that is another than in the row above, and holds from this row on, or an event of one row. */
export interface TrackEvent {
  /** Index of the last sample row read so far, -1 before the first. */
  readonly row: number;
  /** The clock's own units since its first stamp; NaN without a clock. */
  readonly clock: number;
  readonly text: string;
}

/**
 * Changes of one column that are kept. One that changes as often is no button and no label, and its changes would take more
 * memory than the motion.
 */
export const TRACK_EVENTS_AT_MOST = 200_000;

/** One file's table as read: numbers as they stand in the file. */
export interface RawTable {
  readonly plan: TablePlan;
  readonly rows: number;
  /** The clock since its first stamp, in its own unit (ISO and time of day: us); empty without a clock. */
  readonly clock: Float64Array;
  /** The first stamp; null without a clock or without rows. */
  readonly base: DecimalParts | null;
  /** One for each entry of `plan.motion`. */
  readonly columns: readonly Float64Array[];
  /** One list for each entry of `plan.tracks`. */
  readonly trackEvents: readonly (readonly TrackEvent[])[];
  readonly badRows: readonly BadRow[];
  readonly badRowCount: number;
  /** Rows that carry a button's or label's text and no motion. */
  readonly eventRows: number;
  readonly leapSeconds: number;
  /** Rows before which a capture ends: a blank line, the header again, a line of words. In order. */
  readonly breaks: readonly number[];
  /** Rows before which rows were left out, once for each of those. In order. */
  readonly lostRows: readonly number[];
  /** [row, line] wherever the distance between the two changes. */
  readonly lineMarks: readonly (readonly [number, number])[];
}

/** Line (from 1) on which a row of the table stands. */
export function lineOfRow(table: RawTable, row: number): number {
  const [fromRow, line] = table.lineMarks.findLast(([start]) => start <= row) ?? [0, 1];
  return line + row - fromRow;
}
