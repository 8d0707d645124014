import type { UniformLog } from '../log.ts';
import { type AxisName, listMounts, mountMatrix } from '../mount.ts';
import { DEG_PER_RAD, RAD_PER_DEG } from '../units.ts';
import { squaredErrors } from './carriedErrors.ts';
import { STRETCH_SUMS, StretchPairs } from './carriedForce.ts';

/**
 * What gravity says of the gyro. `ok`: it carries gravity as it should. `unit`: read in the wrong unit. `scale`: out by a
 * factor. `axes`: its axes are not the accelerometer's. `unclear`: nothing explains what the force does. `tooLittle`: the
 * take hardly turns gravity about.
 */
export type GravityVerdict = 'ok' | 'unit' | 'scale' | 'axes' | 'unclear' | 'tooLittle';

export interface GravityTest {
  readonly verdict: GravityVerdict;
  /** What the rates would have to be multiplied by; 1 where they are right. Null where the take cannot tell. */
  readonly slope: number | null;
  /** 95 % interval of the slope. */
  readonly low: number | null;
  readonly high: number | null;
  /** Share of the carried force's error that turning by the rates takes away: 0 none, 1 all. */
  readonly fit: number;
  /** For each axis of the accelerometer, the gyro's axis that turns about it. */
  readonly gyroAxes: readonly [AxisName, AxisName, AxisName];
  /** Degrees by which turns about each of the gyro's axes moved gravity; little says little about that axis. */
  readonly turnedDeg: readonly [number, number, number];
  readonly pairs: number;
}

const OWN_AXES: readonly [AxisName, AxisName, AxisName] = ['+x', '+y', '+z'];
const FEWEST_PAIRS = 3;
/** An error below this, in g, is none: an accelerometer's own bias and scale make as much. */
const LEAST_ERROR_G = 0.06;
/** A hypothesis must take away half the error, leave less than this of it, */
const LEAST_FIT = 0.5;
const MOST_ERROR_G = 0.3;
/** and beat a simpler one by this factor: swings in one plane tell some axes apart by accident only. */
const STANDS_OUT = 1.5;
/** Where the rates explain this much as they are, only a factor twice as large counts against them. */
const GOOD_FIT = 0.9;
/** A gyro's own tolerance is 3 %. */
const OK_SLOPE = { low: 0.95, high: 1.05 };
/** Student's t, two-sided 95 %, at 2 to 9 degrees of freedom. */
const T95 = [4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262];
/** Radians taken for degrees, degrees for radians; the next wider or narrower range. */
const FACTORS = [1, DEG_PER_RAD, RAD_PER_DEG, 2, 0.5] as const;
/** What an accelerometer that nobody trimmed may read for 1 g. */
const TRIM = { low: 0.8, high: 1.25 };
const SEARCH = { part: 0.25, step: 0.01 };

interface Hypothesis {
  readonly factor: number;
  readonly axes: Float64Array;
  readonly errorG: number;
}

/**
 * Tests the gyro's unit and the signs and order of its axes by physics: turned by the rates, gravity must stay where it is.
 * That is dĝ/dt = -ω × ĝ added up over four seconds, which hands that push and swing cannot hide as they do at any one
 * moment. A gyro and an accelerometer that are mirrored together pass: gravity cannot see that.
 * @param log  the gyro's bias removed, in so far as it is known.
 */
export function testGravity(log: UniformLog): GravityTest {
  const pairs = new StretchPairs(log);
  const turnedDeg = pairs.turnedDeg();
  const common = { turnedDeg, pairs: pairs.count };
  const identity = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
  const still = pairs.carried(0);
  const unturned = rootMean(squaredErrors(still, identity));
  const none = { ...common, slope: null, low: null, high: null, fit: 0, gyroAxes: OWN_AXES };
  const trim = trimOf(still);
  const moved = rootMean(
    squaredErrors(
      still.map((value) => value / trim),
      identity,
    ),
  );
  if (pairs.count < FEWEST_PAIRS || !(moved > LEAST_ERROR_G)) return { ...none, verdict: 'tooLittle' };
  const own = refine(pairs, { factor: 1, axes: identity, errorG: 0 });
  const other = simplest(pairs);
  const fitOf = ({ errorG }: Hypothesis): number => Math.max(0, 1 - (errorG / unturned) ** 2);
  const needed = fitOf(own) < GOOD_FIT ? STANDS_OUT : 2 * STANDS_OUT;
  const stands = other.errorG * needed < own.errorG ? refine(pairs, other) : own;
  const fit = fitOf(stands);
  if (fit < LEAST_FIT || stands.errorG > MOST_ERROR_G) return { ...none, fit, verdict: 'unclear' };
  const [low, high] = interval(stands);
  const gyroAxes = namesOf(stands);
  const slope = Math.abs(stands.factor);
  const verdict = changes(stands) > 0 ? 'axes' : verdictOf(slope, low, high);
  return { ...common, verdict, slope, low, high, fit, gyroAxes };
}

/**
 * What the accelerometer most likely reads for 1 g: its largest mean, if that is near 1. Of an untrimmed one at rest this
 * keeps the missing tenth from passing for gravity that turned.
 */
function trimOf(unturned: Float64Array): number {
  let largest = 0;
  // without a turn R is the identity, and its first row and column hold the force itself
  for (let s = 0; s < unturned.length; s += STRETCH_SUMS)
    largest = Math.max(largest, unturned[s]! ** 2 + unturned[s + 1]! ** 2 + unturned[s + 2]! ** 2);
  const size = Math.sqrt(largest);
  return size >= TRIM.low && size <= TRIM.high ? size : 1;
}

function verdictOf(slope: number, low: number, high: number): GravityVerdict {
  if (low <= OK_SLOPE.high && high >= OK_SLOPE.low) return 'ok';
  const isUnit = [DEG_PER_RAD, RAD_PER_DEG].some((unit) => Math.abs(slope / unit - 1) <= SEARCH.part);
  return isUnit ? 'unit' : 'scale';
}

/**
 * Of every factor, both senses of turning, and all 24 ways to turn the axes about, the one that changes fewest axes among
 * those that do about as well as the best.
 */
function simplest(pairs: StretchPairs): Hypothesis {
  const all: Hypothesis[] = [];
  for (const size of FACTORS) {
    for (const factor of [size, -size]) {
      const carried = pairs.carried(factor);
      for (const mount of listMounts()) {
        const axes = mountMatrix(mount);
        all.push({ factor, axes, errorG: rootMean(squaredErrors(carried, axes)) });
      }
    }
  }
  const least = Math.min(...all.map(({ errorG }) => errorG));
  const good = all.filter(({ errorG }) => errorG <= STANDS_OUT * least);
  good.sort((a, b) => changes(a) - changes(b) || a.errorG - b.errorG);
  return good[0]!;
}

/** How many axes are not the gyro's own. */
function changes(hypothesis: Hypothesis): number {
  return namesOf(hypothesis).filter((name, k) => name !== OWN_AXES[k]).length;
}

interface Refined extends Hypothesis {
  readonly factors: readonly number[];
  /** Per factor, each pair's squared error. */
  readonly errors: readonly Float64Array[];
}

/** The best factor near a hypothesis's own, on a grid and between its points. */
function refine(pairs: StretchPairs, { factor, axes }: Hypothesis): Refined {
  const steps = Math.round(SEARCH.part / SEARCH.step);
  const factors = Array.from({ length: 2 * steps + 1 }, (_, k) => factor * (1 + (k - steps) * SEARCH.step));
  const errors = factors.map((one) => squaredErrors(pairs.carried(one), axes));
  const sums = errors.map(sumOf);
  const at = lowest(sums);
  return {
    factor: between(factors, sums, at),
    axes,
    errorG: Math.sqrt(sums[at]! / pairs.count),
    factors,
    errors,
  };
}

/** 95 % from ten groups of neighbouring pairs, each left out in turn: the delete-a-group jackknife. */
function interval({ factor, factors, errors }: Refined): [number, number] {
  const count = errors[0]!.length;
  const groups = Math.min(10, count);
  let squares = 0;
  for (let g = 0; g < groups; ++g) {
    const [from, to] = [Math.floor((g * count) / groups), Math.floor(((g + 1) * count) / groups)];
    const sums = errors.map((row) => sumOf(row) - sumOf(row.subarray(from, to)));
    squares += (between(factors, sums, lowest(sums)) - factor) ** 2;
  }
  const half = T95[groups - 3]! * Math.sqrt(((groups - 1) / groups) * squares);
  const size = Math.abs(factor);
  return [Math.max(0, size - half), size + half];
}

/** Where the parabola through the lowest point and its neighbours has its bottom. */
function between(x: readonly number[], y: readonly number[], at: number): number {
  const [before, here, after] = [y[at - 1], y[at]!, y[at + 1]];
  if (before === undefined || after === undefined) return x[at]!;
  const bend = before - 2 * here + after;
  return bend > 0 ? x[at]! + ((x[at + 1]! - x[at]!) * (before - after)) / (2 * bend) : x[at]!;
}

function namesOf({ factor, axes }: Hypothesis): [AxisName, AxisName, AxisName] {
  const name = (row: number): AxisName => {
    const column = [0, 1, 2].find((c) => axes[3 * row + c] !== 0)!;
    const sign = axes[3 * row + column]! * factor > 0 ? '+' : '-';
    return `${sign}${(['x', 'y', 'z'] as const)[column]!}`;
  };
  return [name(0), name(1), name(2)];
}

function lowest(values: readonly number[]): number {
  return values.reduce((best, value, k) => (value < values[best]! ? k : best), 0);
}

function sumOf(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; ++i) sum += values[i]!;
  return sum;
}

function rootMean(values: Float64Array): number {
  return values.length === 0 ? 0 : Math.sqrt(sumOf(values) / values.length);
}
