import { upperMedian } from '../../engine/statistics/sorted.ts';
import { leastSquaresStep, spreadAbout, stretches } from './evenLines.ts';

/** Stamps that come in bunches: rows wait in a buffer and are stamped when it is emptied. */
export interface Bursts {
  /** Rows that come together, on average. */
  readonly rows: number;
  /** From one bunch to the next. */
  readonly cycleUs: number;
  /** Rows over time, longer breaks left out. */
  readonly meanHz: number;
  /** Whether the pace from bunch to bunch is even, and the motion goes on across the pauses: then no row is lost. */
  readonly isEven: boolean;
  /** Whether the motion leaps across the pauses: then rows are lost there, and the stamps are right. */
  readonly isBroken: boolean;
  /** A longer step is a gap between bunches, and no pause of the buffer. */
  readonly breakUs: number;
}

const ROWS_AT_LEAST = 40;
const PAUSES_AT_LEAST = 10;
/** Buffers are emptied at least so often; captures with breaks between them are longer. */
const CYCLE_US_AT_MOST = 5e6;
/** The same where steps inside a bunch are those of a sensor: a logger that wakes now and then writes so too. */
const OPEN_CYCLE_US_AT_MOST = 1e6;
/** Steps below this part of the mean one stand inside a bunch. */
const CLOSE = 0.25;
/** Bunches of two have every second step inside. */
const CLOSE_SHARE = 0.4;
/** A pause this many times the usual one is a gap. */
const BREAK_PAUSES = 4;
/** How far stamps may lie from a straight line, in cycles. */
const EVEN_CYCLES = 3;
/** No sensor of motion in a hand gives more rows a second: such steps are those of a buffer being emptied. */
const FASTEST_US = 200;
/** The motion between two rows is so many times larger across a pause, on average. */
const GOES_ON = 1.8;
const LEAPS = 2.5;

/**
 * How stamps bunch; null where they do not.
 * @param times  rising or level, in microseconds
 * @param columns  of the same rows: whether they leap across the pauses
 */
export function findBursts(times: Float64Array, columns: readonly Float64Array[]): Bursts | null {
  if (times.length < ROWS_AT_LEAST) return null;
  const pauses = stepsAbove(times, (times.at(-1)! - times[0]!) / (times.length - 1));
  if (pauses.length < PAUSES_AT_LEAST) return null;
  const breakUs = BREAK_PAUSES * upperMedian(pauses);
  const usual = sumUpTo(times, breakUs);
  const meanUs = usual.sum / usual.count;
  const closeCount = countBelow(times, CLOSE * meanUs);
  if (closeCount < CLOSE_SHARE * usual.count) return null;
  const count = usual.count - closeCount;
  const cycleUs = (usual.count * meanUs) / count;
  // So is the median of the steps inside bunches.
  const isDumped = countBelow(times, Math.min(FASTEST_US, CLOSE * meanUs)) > closeCount >> 1;
  if (count < PAUSES_AT_LEAST || cycleUs > (isDumped ? CYCLE_US_AT_MOST : OPEN_CYCLE_US_AT_MOST)) return null;
  const leap = isDumped ? 0 : leapAcross(times, CLOSE * meanUs, breakUs, columns);
  return {
    rows: usual.count / count,
    cycleUs,
    meanHz: 1e6 / meanUs,
    isEven: leap < GOES_ON && isStraight(times, breakUs, EVEN_CYCLES * cycleUs),
    isBroken: leap >= LEAPS,
    breakUs,
  };
}

function stepsAbove(times: Float64Array, limit: number): Float64Array {
  const found: number[] = [];
  for (let i = 1; i < times.length; ++i)
    if (times[i]! - times[i - 1]! > limit) found.push(times[i]! - times[i - 1]!);
  return Float64Array.from(found);
}

function sumUpTo(times: Float64Array, limit: number): { readonly sum: number; readonly count: number } {
  let [sum, count] = [0, 0];
  for (let i = 1; i < times.length; ++i) {
    const step = times[i]! - times[i - 1]!;
    if (!(step <= limit)) continue;
    sum += step;
    ++count;
  }
  return { sum, count };
}

function countBelow(times: Float64Array, limit: number): number {
  let count = 0;
  for (let i = 1; i < times.length; ++i) if (times[i]! - times[i - 1]! < limit) ++count;
  return count;
}

/** How much more the values change across a pause than inside a bunch. */
function leapAcross(
  times: Float64Array,
  closeUs: number,
  breakUs: number,
  columns: readonly Float64Array[],
): number {
  let ratios = 0;
  let used = 0;
  for (const values of columns) {
    let [inside, insideCount, across, acrossCount] = [0, 0, 0, 0];
    for (let i = 1; i < times.length; ++i) {
      const change = Math.abs(values[i]! - values[i - 1]!);
      const step = times[i]! - times[i - 1]!;
      if (step < closeUs) {
        inside += change;
        ++insideCount;
      } else if (step <= breakUs) {
        across += change;
        ++acrossCount;
      }
    }
    if (inside === 0 || acrossCount === 0) continue;
    ratios += across / acrossCount / (inside / insideCount);
    ++used;
  }
  return used === 0 ? 1 : ratios / used;
}

/** True where rows and stamps keep one pace in nearly every stretch between breaks. */
function isStraight(times: Float64Array, breakUs: number, withinUs: number): boolean {
  const stamps = { times, places: null };
  let straight = 0;
  for (const [from, to] of stretches(times, breakUs)) {
    const { lowest, highest } = spreadAbout(stamps, from, to, leastSquaresStep(stamps, from, to));
    if (highest - lowest <= withinUs) straight += to - from;
  }
  return straight >= 0.9 * times.length;
}
