import { firstAfter } from '../../engine/statistics/sorted.ts';
import { nominalStep } from '../ground/steps.ts';

/** Fewer rows tell nothing of their order. */
const ROWS_AT_LEAST = 50;
/** A clock, or a count of rows, gives hardly two rows one stamp; a small counter that wraps does so all the time. */
const SHARED_AT_MOST = 0.01;
/** A late row stands within so many rows of its place. */
const LATE_ROWS = 20;
/** Captures that follow each other leap once each; a shuffled table leaps all the time. */
const LEAPS_AT_MOST = 0.05;
/** Part of the steps within a run that lead to the very next stamp, where the runs are pieces of one record. */
const NEXT_AT_LEAST = 0.99;
/** Leaps on over rows that stand elsewhere: one may come from captures written in another order. */
const LEAPS_ON_AT_MOST = 1;
/** Part of the leaps at which the very next sample stands elsewhere: captures in another order have pauses between them. */
const TORN_AT_LEAST = 0.5;
/** The very next sample comes within so many steps. */
const NEXT_STEPS = 2;

/**
 * Whether a table's rows stand in another order than that of their clock, as after sorting by another column or by the
 * digits of the stamps as text: each stamp occurs once, and the next one stands elsewhere. Gaps, late rows, counters that
 * wrap, and clocks that start anew are no such disorder.
 * @param clock  stamps as in the file, any unit; NaN where a row has none
 */
export function isOutOfOrder(clock: Float64Array): boolean {
  const { rows, falls } = countFalls(clock);
  if (rows < ROWS_AT_LEAST || falls === 0) return false;
  // Only here, since hardly any log comes this far: a copy of an hour's clock is 29 MB.
  const stamps = stampsOf(clock, rows);
  const sorted = stamps.slice().sort();
  if (sharedStamps(sorted) > SHARED_AT_MOST * rows) return false;
  // The newest row first.
  if (falls * 2 > rows) return true;
  const { leaps, leapsOn, torn, next, near } = placeSteps(stamps, sorted);
  if (leaps > LEAPS_AT_MOST * rows) return true;
  return leapsOn > LEAPS_ON_AT_MOST && torn >= TORN_AT_LEAST * leaps && next >= NEXT_AT_LEAST * near;
}

/** Rows that have a stamp, and those of them whose stamp is below that of the one before. */
function countFalls(clock: Float64Array): { rows: number; falls: number } {
  let [rows, falls, before] = [0, 0, -Infinity];
  for (let i = 0; i < clock.length; ++i) {
    const stamp = clock[i]!;
    if (Number.isNaN(stamp)) continue;
    ++rows;
    if (stamp < before) ++falls;
    before = stamp;
  }
  return { rows, falls };
}

function stampsOf(clock: Float64Array, rows: number): Float64Array {
  const stamps = new Float64Array(rows);
  let at = 0;
  for (let i = 0; i < clock.length; ++i) if (!Number.isNaN(clock[i])) stamps[at++] = clock[i]!;
  return stamps;
}

function sharedStamps(sorted: Float64Array): number {
  let shared = 0;
  for (let i = 1; i < sorted.length; ++i) if (sorted[i] === sorted[i - 1]) ++shared;
  return shared;
}

/** Steps from row to row, in places of the rows by time: 1 from each row to the next, across a gap too. */
function placeSteps(stamps: Float64Array, sorted: Float64Array) {
  const found = { leaps: 0, leapsOn: 0, torn: 0, next: 0, near: 0 };
  const nextWithin = NEXT_STEPS * nominalStep(sorted);
  let before = firstAfter(sorted, stamps[0]!);
  for (let i = 1; i < stamps.length; ++i) {
    const place = firstAfter(sorted, stamps[i]!);
    const step = place - before;
    if (Math.abs(step) > LATE_ROWS) {
      ++found.leaps;
      // `before` is the place behind the row that is leapt from: its successor in time.
      if (sorted[before]! - stamps[i - 1]! <= nextWithin) ++found.torn;
      if (step > 0) ++found.leapsOn;
    } else {
      ++found.near;
      if (step === 1) ++found.next;
    }
    before = place;
  }
  return found;
}
