import type { Mended } from '../ground/mended.ts';
import { pick } from '../ground/pick.ts';
import { nominalStep } from '../ground/steps.ts';
import { type Bursts, findBursts } from './bursts.ts';
import {
  evenParts,
  leastSquaresStep,
  placesOn,
  ROWS_AT_LEAST,
  type Stamps,
  setOnLine,
  spreadAbout,
  stretches,
  withLost,
} from './evenLines.ts';

/** How a clock's stamps are to be taken; as they look best where nothing is said. */
export interface StampChoice {
  /** `even`: rows follow each other evenly; `stamps`: bunches stay bunches. */
  readonly clock: 'even' | 'stamps' | null;
  /** With `even`: the rate, instead of the mean pace of the stamps. */
  readonly evenHz: number | null;
}

export const AS_THEY_LOOK: StampChoice = { clock: null, evenHz: null };

/** Why rows have even times instead of their stamps: these came in bunches, are cut to a grid, or the user said so. */
export type Evened = 'bunches' | 'grid' | 'stated';

export interface Spread {
  readonly evened: Evened | null;
  /** null for nothing. */
  readonly mended: Mended | null;
  /** Bunches of which nothing tells whether rows are lost between them. */
  readonly undecided: Bursts | null;
}

const LEFT: Spread = { mended: null, evened: null, undecided: null };

/** Grids that clocks are commonly cut to, in microseconds. */
const GRIDS_US = [1e6, 1e5, 1e4, 1e3, 100] as const;
/** Below this share of a step, the grid does no harm. */
const HARMLESS = 0.02;
/** Cutting or rounding to the grid moves a stamp by half of it from the line through all; the line is a little off. */
const CUT_AT_MOST = 0.75;
/** Stamps cut to a grid may jitter by half of it as well. */
const JITTER_AT_MOST = 1.25;
const MOST = 0.9;
/** Stamps in seconds are a little off. */
const SAME_STEP_US = 0.01;
/** Fewer long steps at even distances may be chance. */
const BEATS_AT_LEAST = 4;
/** Cut stamps keep within this many grids of an even pace; twice as far as chance is more than chance. */
const CUT_REACH = 2 * CUT_AT_MOST;
const BEYOND_CHANCE = 2;
/** Clocks that count whole milliseconds are common, coarser ones are not. */
const BEAT_GRID_US = 1000;
/** A grid of this part of a step and more makes steps differ by a good part of themselves. */
const COARSE_PART = 0.2;
/** Share of rows that have the stamp of the row before, below which each row's stamp is its own but for jitter. */
const SHARED_AT_MOST = 0.25;
/** A longer step is a gap where an even clock was asked for, in mean steps. */
const EVEN_GAP_STEPS = 50;

/**
 * Spreads stamps that are coarser than the sampling: rows that share one stamp, stamps cut to whole milliseconds (steps of
 * 9, 10, 9, 10 ms at 104 Hz), and rows that were stamped in bunches as a buffer was emptied. Wherever one straight line
 * stays within the clock's grid of every stamp of a gap-free stretch, the rows are set on that line; elsewhere rows of one
 * stamp are spread up to the next stamp, and stamps of their own stay. Changes `clock` (us) in place.
 * @param columns  tell whether the motion goes on from one bunch to the next
 * @param rowPlaces  of the clock's rows among all that were logged; null where all were read
 */
export function spreadStamps(
  clock: Float64Array,
  order: Int32Array | null,
  columns: readonly Float64Array[] = [],
  choice: StampChoice = AS_THEY_LOOK,
  rowPlaces: Float64Array | null = null,
): Spread {
  const count = order?.length ?? clock.length;
  if (count < ROWS_AT_LEAST) return LEFT;
  const times = pick(clock, order);
  const spread = spreadTimes(
    { times, places: rowPlaces && pick(rowPlaces, order) },
    () => columns.map((values) => pick(values, order)),
    choice,
  );
  if (spread.mended !== null && order !== null) for (let i = 0; i < count; ++i) clock[order[i]!] = times[i]!;
  return spread;
}

function spreadTimes(stamps: Stamps, columns: () => readonly Float64Array[], choice: StampChoice): Spread {
  const { times } = stamps;
  if (choice.clock === 'even')
    return { mended: setEven(stamps, choice.evenHz), evened: 'stated', undecided: null };
  const steps = lookAtSteps(times);
  const { shared } = steps;
  // In bunches, steps are far from the mean one.
  const bursts = steps.close * 4 > times.length ? findBursts(times, columns()) : null;
  if (bursts !== null && choice.clock === null && !isCoarse(times, 0.5 * bursts.cycleUs)) {
    if (bursts.isEven) return { mended: spreadBursts(stamps, bursts), evened: 'bunches', undecided: null };
    if (!bursts.isBroken) return { ...LEFT, undecided: bursts };
  }
  const grid = shared > 0 ? nominalStep(times) : gridOf(stamps, steps);
  if (grid === null || Number.isNaN(grid)) return LEFT;
  const mended = shared > 0 ? spreadShared(stamps, grid, shared) : straighten(stamps, grid);
  return { mended, evened: mended === null ? null : 'grid', undecided: null };
}

interface StepFacts {
  /** Rows that have the stamp of the row before. */
  readonly shared: number;
  /** Steps far below the mean one. */
  readonly close: number;
  readonly shortestUs: number;
  readonly longestUs: number;
}

function lookAtSteps(times: Float64Array): StepFacts {
  const closeUs = (0.25 * (times.at(-1)! - times[0]!)) / (times.length - 1);
  let [shared, close, shortestUs, longestUs] = [0, 0, Infinity, -Infinity];
  for (let i = 1; i < times.length; ++i) {
    const step = times[i]! - times[i - 1]!;
    if (step === 0) ++shared;
    if (step < closeUs) ++close;
    if (step < shortestUs) shortestUs = step;
    if (step > longestUs) longestUs = step;
  }
  return { shared, close, shortestUs, longestUs };
}

function spreadBursts(stamps: Stamps, { rows, cycleUs, meanHz, breakUs }: Bursts): Mended {
  const { times, places } = stamps;
  for (const [from, to] of stretches(times, breakUs)) {
    const step = to - from > 1 ? (times[to - 1]! - times[from]!) / placesOn(places, from, to - 1) : 0;
    // A row waits in the buffer before it is stamped: none was measured after its stamp.
    const start = times[from]! + spreadAbout(stamps, from, to, step).lowest;
    setOnLine(stamps, from, to, { start, step });
  }
  return { kind: 'bunches', rows, cycleUs, meanHz };
}

/** Rows at even steps from the first of each stretch on; stretches may not overlap. */
function setEven(stamps: Stamps, evenHz: number | null): Mended {
  const { times, places } = stamps;
  const mean = (times.at(-1)! - times[0]!) / (times.length - 1);
  const breakUs = EVEN_GAP_STEPS * (evenHz === null ? mean : Math.max(mean, 1e6 / evenHz));
  let before = -Infinity;
  let rows = 0;
  let lastedUs = 0;
  for (const [from, to] of stretches(times, breakUs)) {
    const step = evenHz === null ? leastSquaresStep(stamps, from, to) : 1e6 / evenHz;
    const start = Math.max(times[from]! + spreadAbout(stamps, from, to, step).lowest, before + step);
    setOnLine(stamps, from, to, { start, step });
    before = times[to - 1]!;
    const steps = placesOn(places, from, to - 1);
    rows += steps;
    lastedUs += steps * step;
  }
  return { kind: 'evenSteps', hz: (1e6 * rows) / lastedUs, isStated: evenHz !== null };
}

/** True where every stamp is a multiple of a grid at least this coarse. */
export function isCoarse(times: Float64Array, leastUs: number): boolean {
  return GRIDS_US.some((grid) => grid >= leastUs && isOnGrid(times, grid));
}

/** The coarsest common grid that holds every stamp and disturbs the steps; null for none. */
function gridOf(stamps: Stamps, steps: StepFacts): number | null {
  const { times } = stamps;
  const isRegular = steps.longestUs - steps.shortestUs <= SAME_STEP_US || isEven(times);
  if (isRegular && !hasBeat(stamps, steps)) return null;
  const step = nominalStep(times);
  for (const grid of GRIDS_US) {
    if (!(grid >= HARMLESS * step)) return null;
    // Steps of 10 ms are a rate of 100 Hz, and no clock that is cut to 10 ms.
    if (isRegular && (grid > BEAT_GRID_US || grid < COARSE_PART * step)) continue;
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

/** True where all steps are one and the same, but for gaps and single lost rows. */
function isEven(times: Float64Array): boolean {
  const step = times[1]! - times[0]!;
  for (let i = 2; i < times.length; ++i) {
    const own = times[i]! - times[i - 1]!;
    if (Math.abs(own - step) > SAME_STEP_US && own < 2 * step - 0.5) return false;
  }
  return true;
}

/**
 * True where the long steps come as they do when a grid cuts a rate that it does not divide (952 Hz in whole milliseconds:
 * every 20th or 21st step is 2 ms). Rows get lost at random, and then stamps soon leave any even pace.
 */
function hasBeat(stamps: Stamps, { shortestUs: short, longestUs }: StepFacts): boolean {
  const { times, places } = stamps;
  if (longestUs <= 1.5 * short) return false;
  let long = 0;
  for (let i = 1; i < times.length; ++i)
    if (times[i]! - times[i - 1]! > 1.5 * short * placesOn(places, i - 1, i)) ++long;
  if (long < BEATS_AT_LEAST) return false;
  const share = long / times.length;
  const pieces = stretches(times, 2.5 * short).flatMap(([from, to]) =>
    evenParts(stamps, from, to, short, CUT_AT_MOST),
  );
  // How far chance keeps within reach: a walk of that many steps.
  const byChance = CUT_REACH ** 2 / (share * (1 - share));
  return times.length / pieces.length >= BEYOND_CHANCE * byChance;
}

/** Stamps of their own on a coarse grid: each stretch without a lost row is set on its line, where one fits. */
function straighten(stamps: Stamps, grid: number): Mended | null {
  const { times } = stamps;
  const step = nominalStep(times);
  const reach = grid < COARSE_PART * step ? CUT_AT_MOST : JITTER_AT_MOST;
  const runs = stretches(times, 1.5 * step + grid);
  const logged = withLost(stamps, runs);
  const parts = runs.flatMap(([from, to]) => evenParts(logged, from, to, grid, reach));
  const rows = parts.reduce((sum, { from, to, line }) => sum + (line ? to - from : 0), 0);
  // A clock that jitters by itself fits only here and there: its stamps stay.
  if (rows < MOST * times.length) return null;
  for (const { from, to, line } of parts) if (line) setOnLine(logged, from, to, line);
  return { kind: 'cutStamps', gridUs: grid, rows };
}

function spreadShared(stamps: Stamps, groupUs: number, shared: number): Mended {
  const { times } = stamps;
  const runs = stretches(times, 3 * groupUs);
  // Where most rows have a stamp of their own, stamps tell of single lost rows.
  const logged = SHARED_AT_MOST * times.length > shared ? withLost(stamps, runs) : stamps;
  for (const [from, to] of runs) {
    for (const part of evenParts(logged, from, to, groupUs, JITTER_AT_MOST)) {
      if (part.line) setOnLine(logged, part.from, part.to, part.line);
      else spreadGroups(times, part.from, part.to, groupUs);
    }
  }
  return { kind: 'sharedStamps', stepUs: groupUs, rows: shared };
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
