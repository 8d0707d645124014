import { GAP_STEPS } from '../../engine/base/timeBase.ts';
import { firstAfter } from '../../engine/statistics/sorted.ts';
import type { Mended } from '../ground/mended.ts';
import { nominalStep } from '../ground/steps.ts';
import type { Bursts } from './bursts.ts';
import { AS_THEY_LOOK, type Evened, isCoarse, type StampChoice, spreadStamps } from './spreadStamps.ts';
import { unwrapCounter } from './unwrap.ts';

/** The clock of a table after clean-up. */
export interface TimeAxis {
  /** For every row of the table, kept or not: microseconds since the first kept row. */
  readonly rowUs: Float64Array;
  /** The first kept row's clock, in microseconds since the table's first stamp. */
  readonly originUs: number;
  /** Rows that stay, in time order; null where all stay as they are. */
  readonly order: Int32Array | null;
  readonly duplicates: number;
  readonly backwards: number;
  /** Rows left out because their stamp lies far from both neighbours' (indices). */
  readonly strays: readonly number[];
  readonly restarts: number;
  readonly wraps: number;
  readonly wrapAt: number;
  readonly mended: readonly Mended[];
  readonly evened: Evened | null;
  /** Stamps in bunches of which nothing tells whether rows are lost between them; null for none. */
  readonly undecided: Bursts | null;
}

/** How far back a late row may stand and still be sorted into its place, in nominal steps. */
const LATE_STEPS = 20;
/** A grid of this part of a step and more makes rows share a stamp. */
const GRID_NEAR_STEP = 0.45;
/** A restart of the clock is shown as a gap: a step of more than the engine's `GAP_STEPS`. */
export const RESTART_STEPS = 4;

/**
 * Cleans a clock up: unwraps counters, drops stray stamps and repeated rows, sorts late rows, turns restarts of the
 * clock into gaps, spreads coarse stamps evenly, and rounds to whole, strictly increasing microseconds.
 * @param clock  since the first stamp, in its own unit; overwritten
 * @param base  the first stamp
 * @param unitUs  microseconds in one unit
 * @param columns  tell repeated rows from coarse stamps
 * @param lostRows  rows before which rows could not be read, once for each of those; in order
 * @param choice  how stamps are to be taken, where that was said
 * @param skip  1 for each row that is no sample, whatever its stamp; null for none
 */
export function cleanClock(
  clock: Float64Array,
  base: number,
  unitUs: number,
  columns: readonly Float64Array[],
  skip: Uint8Array | null = null,
  choice: StampChoice = AS_THEY_LOOK,
  lostRows: readonly number[] = [],
): TimeAxis {
  const { wraps, modulus } = unwrapCounter(clock, base);
  for (let i = 0; i < clock.length; ++i) clock[i]! *= unitUs;
  const found = skip === null && isRising(clock) ? null : untangle(clock, columns, skip);
  const order = found?.order ?? null;
  const { mended, evened, undecided } = spreadStamps(
    clock,
    order,
    columns,
    choice,
    placesOf(clock.length, found, lostRows),
  );
  const originUs = roundAndStart(clock, order);
  if (skip !== null) placeSkipped(clock, skip);
  return {
    rowUs: clock,
    originUs,
    order,
    duplicates: found?.duplicates ?? 0,
    backwards: found?.backwards ?? 0,
    strays: found?.strays ?? [],
    restarts: found?.restarts ?? 0,
    wraps,
    wrapAt: modulus,
    mended: mended === null ? [] : [mended],
    evened,
    undecided,
  };
}

/**
 * Places of rows among all that were logged: of those kept, of those left out, and of those that could not be read. null
 * where nothing is missing, or rows stand out of order. A row that was logged twice took no time twice.
 */
function placesOf(rows: number, found: Untangled | null, lostRows: readonly number[]): Float64Array | null {
  const order = found?.order ?? null;
  if (lostRows.length === 0 && (order === null || order.length === rows)) return null;
  if (order?.some((row, i) => i > 0 && row < order[i - 1]!)) return null;
  const places = new Float64Array(rows);
  let lost = 0;
  for (let i = 0; i < rows; ++i) {
    while (lost < lostRows.length && lostRows[lost]! <= i) ++lost;
    places[i] = i + lost - (found ? firstAfter(found.repeats, i) : 0);
  }
  return places;
}

function isRising(clock: Float64Array): boolean {
  for (let i = 1; i < clock.length; ++i) if (!(clock[i]! > clock[i - 1]!)) return false;
  return true;
}

interface Untangled {
  readonly order: Int32Array;
  readonly duplicates: number;
  /** The rows that are duplicates, in order. */
  readonly repeats: readonly number[];
  readonly backwards: number;
  readonly strays: readonly number[];
  readonly restarts: number;
}

function untangle(clock: Float64Array, columns: readonly Float64Array[], skip: Uint8Array | null): Untangled {
  const step = nominalStep(clock);
  const strays = findStrays(clock, step).filter((row) => skip?.[row] !== 1);
  const isStray = new Set(strays);
  const order: number[] = [];
  let backwards = 0;
  let restarts = 0;
  let shift = 0;
  let previous = Number.NaN;
  let latest = -Infinity;
  for (let i = 0; i < clock.length; ++i) {
    if (isStray.has(i) || skip?.[i] === 1) continue;
    if (clock[i]! < previous) {
      ++backwards;
      if (latest - (clock[i]! + shift) > LATE_STEPS * step) {
        ++restarts;
        shift = latest + RESTART_STEPS * step - clock[i]!;
      }
    }
    previous = clock[i]!;
    clock[i]! += shift;
    if (clock[i]! > latest) latest = clock[i]!;
    order.push(i);
  }
  sortLate(order, clock);
  const kept = dropRepeats(order, clock, columns);
  return {
    order: Int32Array.from(kept),
    duplicates: order.length - kept.length,
    repeats: without(order, kept),
    backwards: backwards + countBack(strays, clock),
    strays,
    restarts,
  };
}

/** Rows whose stamp leaps away and whose next stamp takes up where the row before left off. */
function findStrays(clock: Float64Array, step: number): number[] {
  const strays: number[] = [];
  for (let i = 1; i + 1 < clock.length; ++i) {
    const leap = clock[i]! - clock[i - 1]!;
    const across = clock[i + 1]! - clock[i - 1]!;
    const isFar =
      Math.abs(leap) > LATE_STEPS * step && Math.abs(clock[i + 1]! - clock[i]!) > LATE_STEPS * step;
    if (!isFar || across <= 0 || across > (GAP_STEPS + 1) * step) continue;
    strays.push(i);
    ++i;
  }
  return strays;
}

function countBack(strays: readonly number[], clock: Float64Array): number {
  // Each stray holds one backward step: before it or after it.
  return strays.filter((i) => clock[i]! !== clock[i - 1]!).length;
}

/** Insertion sort: late rows stand near their place. */
function sortLate(order: number[], clock: Float64Array): void {
  for (let i = 1; i < order.length; ++i) {
    const row = order[i]!;
    let k = i - 1;
    for (; k >= 0 && clock[order[k]!]! > clock[row]!; --k) order[k + 1] = order[k]!;
    order[k + 1] = row;
  }
}

/**
 * Drops rows that repeat the stamp and every value of the row before. Rows of one stamp with values of their own are
 * kept where such stamps are common (a coarse clock), else dropped too: two values cannot belong to one moment.
 */
function dropRepeats(
  order: readonly number[],
  clock: Float64Array,
  columns: readonly Float64Array[],
): number[] {
  let shared = 0;
  let differing = 0;
  for (let i = 1; i < order.length; ++i) {
    if (clock[order[i]!] !== clock[order[i - 1]!]) continue;
    ++shared;
    if (!isSameRow(columns, order[i]!, order[i - 1]!)) ++differing;
  }
  const isCommon = differing * 20 > order.length || (shared > 0 && isCutToGrid(order, clock));
  const areSamples = isCommon && differing * 4 > shared;
  return order.filter((row, i) => {
    if (i === 0 || clock[row] !== clock[order[i - 1]!]) return true;
    return areSamples;
  });
}

function without(order: readonly number[], kept: readonly number[]): number[] {
  if (order.length === kept.length) return [];
  const isKept = new Set(kept);
  return order.filter((row) => !isKept.has(row)).sort((a, b) => a - b);
}

/** Stamps cut to a grid near the step: with some jitter two rows share one now and then. */
function isCutToGrid(order: readonly number[], clock: Float64Array): boolean {
  const times = new Float64Array(order.length);
  for (let i = 0; i < times.length; ++i) times[i] = clock[order[i]!]!;
  return isCoarse(times, GRID_NEAR_STEP * nominalStep(times));
}

function isSameRow(columns: readonly Float64Array[], a: number, b: number): boolean {
  for (const column of columns) if (column[a] !== column[b]) return false;
  return true;
}

/** A row that is no sample may carry a button's text all the same: where its stamp is none, it has the time of the row before. */
function placeSkipped(rowUs: Float64Array, skip: Uint8Array): void {
  let before = 0;
  let next = 0;
  for (let i = 0; i < rowUs.length; ++i) {
    if (skip[i] === 0) {
      before = rowUs[i]!;
      continue;
    }
    if (next <= i) for (next = i + 1; next < rowUs.length && skip[next] === 1; ) ++next;
    const after = next < rowUs.length ? rowUs[next]! : before;
    if (!(rowUs[i]! >= before && rowUs[i]! <= after)) rowUs[i] = before;
  }
}

/** Whole microseconds from the first kept row, each later than the one before. */
function roundAndStart(clock: Float64Array, order: Int32Array | null): number {
  const first = clock[order?.[0] ?? 0] ?? 0;
  for (let i = 0; i < clock.length; ++i) clock[i] = Math.round(clock[i]! - first);
  const count = order?.length ?? clock.length;
  for (let i = 1; i < count; ++i) {
    const row = order ? order[i]! : i;
    const before = clock[order ? order[i - 1]! : i - 1]!;
    if (!(clock[row]! > before)) clock[row] = before + 1;
  }
  return first;
}
