/** Fewer rows tell no pace. */
export const ROWS_AT_LEAST = 8;
/** Rows that give the pace of coarse stamps within a few percent. */
const PACE_ROWS = 64;
/** Stamps that are only cut to the grid lie within half of it about their line, but for rounding. */
const CUT_WORST = 0.51;

/** A clock's stamps in order, which may be moved. */
export interface Stamps {
  readonly times: Float64Array;
  /** Of the rows among all that were logged, those too that could not be read; null where none is missing. */
  readonly places: Float64Array | null;
}

/** A stretch or a piece of one, and the line that it keeps to; null where it keeps to none. */
interface EvenPart {
  readonly from: number;
  readonly to: number;
  readonly line: Line | null;
}

/**
 * The whole stretch where one line fits it, else its pieces between lost rows.
 * @param grid  that the stamps are cut to. @param reach  how far stamps may lie from their line, in grids
 */
export function evenParts(stamps: Stamps, from: number, to: number, grid: number, reach: number): EvenPart[] {
  const within = reach * grid;
  const part = (start: number, end: number): EvenPart => {
    const line = fitLine(stamps, start, end, grid);
    const fits = end - start >= ROWS_AT_LEAST && line.step > 0 && line.worst <= within;
    return { from: start, to: end, line: fits ? line : null };
  };
  const whole = part(from, to);
  if (whole.line) return [whole];
  return piecesOf(stamps, from, to, 2 * within).map(([start, end]) => part(start, end));
}

/** Cuts a stretch where its stamps leave the pace for good, as they do where rows were lost. */
function piecesOf(stamps: Stamps, from: number, to: number, reach: number): (readonly [number, number])[] {
  const { times, places } = stamps;
  const step = paceOf(stamps, from, to);
  const found: (readonly [number, number])[] = [];
  let start = from;
  let lowest = Infinity;
  let highest = -Infinity;
  for (let i = from; i < to; ++i) {
    const own = times[i]! - placesOn(places, from, i) * step;
    lowest = Math.min(lowest, own);
    highest = Math.max(highest, own);
    if (highest - lowest <= reach) continue;
    found.push([start, i]);
    start = i;
    lowest = own;
    highest = own;
  }
  found.push([start, to]);
  return found;
}

/** A long step that a row may be missing in, in steps of the pace. */
const LONG_STEP = 1.25;
/** Stamps that stay this part of a step late behind a long step are late for good: jitter and rounding average out. */
const LATE_PART = 0.6;
/** Rows on either side that average a jitter of half a step down to a tenth of one. */
const LATE_ROWS = 32;

/**
 * The stamps with the rows' places among all that were taken, lost ones among them: behind a lost row all stamps are late by a whole
 * step, and a tolerance that lets coarse stamps jitter would hide that.
 * @param runs  stretches without a break, as index ranges
 */
export function withLost(stamps: Stamps, runs: readonly (readonly [number, number])[]): Stamps {
  const { times, places } = stamps;
  const all = new Float64Array(times.length);
  let lost = 0;
  for (const [from, to] of runs) {
    const step = paceOf(stamps, from, to);
    let start = from;
    for (let i = from; i < to; ++i) {
      const lateBy = lateAt(stamps, start, i, to, step);
      if (lateBy > 0 && lateBy >= LATE_PART * step && !isLaterSoon(stamps, start, i, to, step, lateBy)) {
        lost += Math.round(lateBy / step);
        start = i;
      }
      all[i] = placesOn(places, 0, i) + lost;
    }
  }
  return { times, places: all };
}

/** Whether a step near behind divides the stamps better into those before and those behind a lost row. */
function isLaterSoon(
  stamps: Stamps,
  start: number,
  at: number,
  end: number,
  step: number,
  lateBy: number,
): boolean {
  for (let i = at + 1; i < Math.min(end, at + LATE_ROWS); ++i)
    if (lateAt(stamps, start, i, end, step) > lateBy) return true;
  return false;
}

/** By how much the stamps from row `at` on are late against those before it; 0 where its step is no long one. */
function lateAt(stamps: Stamps, start: number, at: number, end: number, step: number): number {
  const { times, places } = stamps;
  if (at - start < ROWS_AT_LEAST || at + ROWS_AT_LEAST > end) return 0;
  if (times[at]! - times[at - 1]! <= LONG_STEP * step * placesOn(places, at - 1, at)) return 0;
  const first = Math.max(start, at - LATE_ROWS);
  const last = Math.min(end, at + LATE_ROWS);
  const before = meanOffPace(stamps, first, at, first, step);
  return meanOffPace(stamps, at, last, first, step) - before;
}

/** How late the stamps from `from` to `to` are against a pace that begins at row `origin`. */
function meanOffPace(
  { times, places }: Stamps,
  from: number,
  to: number,
  origin: number,
  step: number,
): number {
  let sum = 0;
  for (let i = from; i < to; ++i) sum += times[i]! - times[origin]! - placesOn(places, origin, i) * step;
  return sum / (to - from);
}

/** Mean step over windows of some rows, the slowest and fastest of them left out: rows lost here and there don't bend it. */
function paceOf(stamps: Stamps, from: number, to: number): number {
  const { times, places } = stamps;
  const steps: number[] = [];
  for (let i = from; i + PACE_ROWS < to; i += PACE_ROWS / 4)
    steps.push((times[i + PACE_ROWS]! - times[i]!) / placesOn(places, i, i + PACE_ROWS));
  if (steps.length < 4) return leastSquaresStep(stamps, from, to);
  const middle = steps.sort((a, b) => a - b).slice(steps.length >> 2, steps.length - (steps.length >> 2));
  return middle.reduce((sum, step) => sum + step, 0) / middle.length;
}

/** Sets the rows of a part on its line. */
export function setOnLine(
  { times, places }: Stamps,
  from: number,
  to: number,
  { start, step }: Pick<Line, 'start' | 'step'>,
): void {
  for (let i = from; i < to; ++i) times[i] = start + placesOn(places, from, i) * step;
}

/** A line through a stretch's stamps, and half the range of their distances from it. */
export interface Line {
  readonly start: number;
  readonly step: number;
  readonly worst: number;
}

/**
 * The tighter of two lines: least squares, and from the first to the last row whose stamp is new. The second is exact for
 * stamps that are only cut to the grid; where they jitter too, two rows of many tell the pace less well than all do.
 */
function fitLine(stamps: Stamps, from: number, to: number, grid: number): Line {
  const fitted = lineOfStep(stamps, from, to, leastSquaresStep(stamps, from, to));
  const spanned = lineOfStep(stamps, from, to, newStampStep(stamps, from, to));
  const isOnlyCut = spanned.worst <= CUT_WORST * grid;
  return spanned.worst <= fitted.worst && (isOnlyCut || fitted.step <= 0) ? spanned : fitted;
}

function newStampStep({ times, places }: Stamps, from: number, to: number): number {
  let first = from + 1;
  while (first < to && times[first] === times[first - 1]) ++first;
  let last = to - 1;
  while (last > first && times[last] === times[last - 1]) --last;
  return last > first ? (times[last]! - times[first]!) / placesOn(places, first, last) : 0;
}

/** Stamps are cut down to the grid, so the line runs along their upper edge. */
function lineOfStep(stamps: Stamps, from: number, to: number, step: number): Line {
  const { times } = stamps;
  const { lowest, highest } = spreadAbout(stamps, from, to, step);
  return { start: times[from]! + highest, step, worst: (highest - lowest) / 2 };
}

/** Index ranges between steps of more than `limit`; `to` is exclusive. */
export function stretches(times: Float64Array, limit: number): (readonly [number, number])[] {
  const found: (readonly [number, number])[] = [];
  let from = 0;
  for (let i = 1; i <= times.length; ++i) {
    if (i < times.length && times[i]! - times[i - 1]! <= limit) continue;
    found.push([from, i]);
    from = i;
  }
  return found;
}

/** How far stamps lie from a line of this step through the first of them. */
export function spreadAbout(
  { times, places }: Stamps,
  from: number,
  to: number,
  step: number,
): { readonly lowest: number; readonly highest: number } {
  let highest = -Infinity;
  let lowest = Infinity;
  for (let i = from; i < to; ++i) {
    const own = times[i]! - times[from]! - placesOn(places, from, i) * step;
    if (own > highest) highest = own;
    if (own < lowest) lowest = own;
  }
  return { lowest, highest };
}

/** Step of the straight line through a stretch's stamps. */
export function leastSquaresStep({ times, places }: Stamps, from: number, to: number): number {
  let middle = 0;
  for (let i = from; i < to; ++i) middle += placesOn(places, from, i) / (to - from);
  let cross = 0;
  let squares = 0;
  for (let i = from; i < to; ++i) {
    const place = placesOn(places, from, i) - middle;
    cross += place * (times[i]! - times[from]!);
    squares += place * place;
  }
  return squares > 0 ? cross / squares : 0;
}

/** How many rows on from the first of a stretch a row stands. */
export function placesOn(places: Float64Array | null, from: number, row: number): number {
  return places === null ? row - from : places[row]! - places[from]!;
}
