import { nominalStep } from './steps.ts';

/** Grids that clocks are commonly cut to, in microseconds. */
const GRIDS_US = [1e6, 1e5, 1e4, 1e3, 100] as const;
/** Below this share of a step, the grid does no harm. */
const HARMLESS = 0.02;
const ROWS_AT_LEAST = 8;
/** Cutting or rounding to the grid moves a stamp by half of it from the line through all; the line is a little off. */
const CUT_AT_MOST = 0.75;
const MOST = 0.9;

/**
 * Spreads stamps that are coarser than the sampling: rows that share one stamp, and stamps cut to whole milliseconds
 * (steps of 9, 10, 9, 10 ms at 104 Hz). Wherever one straight line stays within the clock's grid of every stamp of a
 * gap-free stretch, the rows are set on that line; elsewhere rows of one stamp are spread up to the next stamp, and
 * stamps of their own stay. Changes `clock` (us) in place; returns what was done, or null for nothing.
 */
export function spreadStamps(clock: Float64Array, order: Int32Array | null): string | null {
  const count = order?.length ?? clock.length;
  if (count < ROWS_AT_LEAST) return null;
  const times = new Float64Array(count);
  for (let i = 0; i < count; ++i) times[i] = clock[order ? order[i]! : i]!;
  const shared = countShared(times);
  const grid = shared > 0 ? nominalStep(times) : gridOf(times);
  if (grid === null || Number.isNaN(grid)) return null;
  const note = shared > 0 ? spreadShared(times, grid, shared) : straighten(times, grid);
  if (note === null) return null;
  for (let i = 0; i < count; ++i) clock[order ? order[i]! : i] = times[i]!;
  return note;
}

function countShared(times: Float64Array): number {
  let shared = 0;
  for (let i = 1; i < times.length; ++i) if (times[i] === times[i - 1]) ++shared;
  return shared;
}

/** The coarsest common grid that holds every stamp and disturbs the steps; null for none. */
function gridOf(times: Float64Array): number | null {
  if (isEven(times)) return null;
  const step = nominalStep(times);
  for (const grid of GRIDS_US) {
    if (!(grid >= HARMLESS * step)) return null;
    if (isOnGrid(times, grid)) return grid;
  }
  return null;
}

function isOnGrid(times: Float64Array, grid: number): boolean {
  for (let i = 0; i < times.length; ++i) {
    const rest = Math.abs((times[i]! - times[0]!) / grid);
    if (Math.abs(rest - Math.round(rest)) * grid > 0.01) return false;
  }
  return true;
}

/** True where all steps are one and the same, but for gaps and single lost rows (stamps in seconds are a little off). */
function isEven(times: Float64Array): boolean {
  const step = times[1]! - times[0]!;
  for (let i = 2; i < times.length; ++i) {
    const own = times[i]! - times[i - 1]!;
    if (Math.abs(own - step) > 0.01 && own < 2 * step - 0.5) return false;
  }
  return true;
}

/** Stamps of their own on a coarse grid: each stretch without a lost row is set on its line, where one fits. */
function straighten(times: Float64Array, grid: number): string | null {
  const limit = 1.5 * nominalStep(times) + grid;
  const lines = stretches(times, limit).map(([from, to]) => ({ from, to, ...fitLine(times, from, to) }));
  const fitting = lines.filter(
    ({ from, to, worst }) => to - from >= ROWS_AT_LEAST && worst <= CUT_AT_MOST * grid,
  );
  const rows = fitting.reduce((sum, { from, to }) => sum + to - from, 0);
  // A clock that jitters by itself fits only here and there: its stamps stay.
  if (rows < MOST * times.length) return null;
  for (const { from, to, start, step } of fitting) {
    for (let i = from; i < to; ++i) times[i] = start + (i - from) * step;
  }
  return `stamps are multiples of ${shown(grid)}: ${rows} rows were spread evenly`;
}

function spreadShared(times: Float64Array, groupUs: number, shared: number): string {
  const limit = 3 * groupUs;
  for (const [from, to] of stretches(times, limit)) {
    const line = fitLine(times, from, to);
    if (to - from >= ROWS_AT_LEAST && line.step > 0 && line.worst <= groupUs) {
      for (let i = from; i < to; ++i) times[i] = line.start + (i - from) * line.step;
    } else spreadGroups(times, from, to, groupUs);
  }
  return `${shared} rows share the stamp of the row before (the clock steps by ${shown(groupUs)}): they were spread evenly`;
}

/** Rows of one stamp are spread up to the next stamp of the stretch; those of the last over one common step. */
function spreadGroups(times: Float64Array, from: number, to: number, groupUs: number): void {
  for (let start = from; start < to; ) {
    let end = start + 1;
    while (end < to && times[end] === times[start]) ++end;
    const length = end < to ? times[end]! - times[start]! : groupUs;
    const first = times[start]!;
    for (let i = start; i < end; ++i) times[i] = first + ((i - start) * length) / (end - start);
    start = end;
  }
}

/** Index ranges between steps of more than `limit`; `to` is exclusive. */
function stretches(times: Float64Array, limit: number): (readonly [number, number])[] {
  const found: (readonly [number, number])[] = [];
  let from = 0;
  for (let i = 1; i <= times.length; ++i) {
    if (i < times.length && times[i]! - times[i - 1]! <= limit) continue;
    found.push([from, i]);
    from = i;
  }
  return found;
}

/** A line through a stretch's stamps, and half the range of their distances from it. */
interface Line {
  readonly start: number;
  readonly step: number;
  readonly worst: number;
}

/** The tighter of two lines: least squares, and from the first to the last row whose stamp is new. */
function fitLine(times: Float64Array, from: number, to: number): Line {
  const fitted = lineOfStep(times, from, to, leastSquaresStep(times, from, to));
  const spanned = lineOfStep(times, from, to, newStampStep(times, from, to));
  return spanned.worst <= fitted.worst ? spanned : fitted;
}

function leastSquaresStep(times: Float64Array, from: number, to: number): number {
  const n = to - from;
  const middle = (n - 1) / 2;
  let cross = 0;
  for (let i = 0; i < n; ++i) cross += (i - middle) * (times[from + i]! - times[from]!);
  return n > 1 ? (12 * cross) / (n * (n * n - 1)) : 0;
}

function newStampStep(times: Float64Array, from: number, to: number): number {
  let first = from + 1;
  while (first < to && times[first] === times[first - 1]) ++first;
  let last = to - 1;
  while (last > first && times[last] === times[last - 1]) --last;
  return last > first ? (times[last]! - times[first]!) / (last - first) : 0;
}

/** Stamps are cut down to the grid, so the line runs along their upper edge. */
function lineOfStep(times: Float64Array, from: number, to: number, step: number): Line {
  let highest = -Infinity;
  let lowest = Infinity;
  for (let i = from; i < to; ++i) {
    const own = times[i]! - times[from]! - (i - from) * step;
    if (own > highest) highest = own;
    if (own < lowest) lowest = own;
  }
  return { start: times[from]! + highest, step, worst: (highest - lowest) / 2 };
}

function shown(us: number): string {
  if (us >= 1e6) return `${us / 1e6} s`;
  return us >= 1e3 ? `${us / 1e3} ms` : `${us} us`;
}
