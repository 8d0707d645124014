import type { UniformLog } from '../base/log.ts';
import type { AxisName } from '../base/mount.ts';
import { DEG_PER_RAD, RAD_PER_DEG } from '../base/units.ts';
import { axisSlopes } from './axisSlopes.ts';
import { staysAlongBody } from './bodyForce.ts';
import { bridgeShortGaps } from './bridgedGaps.ts';
import {
  changes,
  costOf,
  type Hypothesis,
  hypothesesAt,
  LOGGED_AXES,
  LOGGED_MATRIX,
  TELLS,
  usualError,
} from './gravityHypotheses.ts';
import { commonSlope, type Refined, refine, sumOf } from './gravitySlope.ts';
import { squaredErrors } from './pairErrors.ts';
import type { Slope } from './slopeInterval.ts';
import { StretchPairs } from './stretchPairs.ts';

/**
 * Result of the gravity test of the gyro. `ok`: turned by it, gravity stays where it is, on every axis that the take
 * turns about. `unit`: read in the wrong unit. `scale`: wrong by a factor. `axes`: its axes are not the
 * accelerometer's. `disagree`: as logged the two contradict each other, and the take does not show what would correct
 * it. `unclear`: nothing explains the force. `along`: the force stays along the sensor, as under a drone or on a
 * pendulum, and tests nothing. `tooLittle`: the take turns about no axis enough.
 */
export type GravityVerdict =
  | 'ok'
  | 'unit'
  | 'scale'
  | 'axes'
  | 'disagree'
  | 'unclear'
  | 'along'
  | 'tooLittle';

/** `untested`: another sign, or another axis in its place, would do as well. */
type AxisState = 'proven' | 'mirrored' | 'swapped' | 'scale' | 'untested';

export interface AxisFinding {
  readonly state: AxisState;
  /** The factor by which this axis's rates alone would have to be multiplied; null where the take cannot tell. */
  readonly slope: Slope | null;
  /** Degrees turned about it, there and back added up. */
  readonly spunDeg: number;
  /** Degrees by which that tilted gravity: turns about gravity itself tell nothing. */
  readonly turnedDeg: number;
}

export interface GravityTest {
  readonly verdict: GravityVerdict;
  /**
   * The factor by which the rates would have to be multiplied; 1 where they are right. Null where the take cannot tell;
   * with `ok` that means that signs and unit are proven, and the scale is not known.
   */
  readonly slope: number | null;
  /** An interval that holds the slope with at least 95 %. */
  readonly low: number | null;
  readonly high: number | null;
  /** Share of the propagated force's error that turning by the rates removes: 0 none, 1 all. */
  readonly fit: number;
  /** For each axis of the accelerometer, the gyro's axis that turns about it. */
  readonly gyroAxes: readonly [AxisName, AxisName, AxisName];
  /** x, y, z. */
  readonly axes: readonly [AxisFinding, AxisFinding, AxisFinding];
  readonly pairs: number;
}

const FEWEST_PAIRS = 3;
/** A hypothesis must remove at least half of the error and leave less than MOST_ERROR_G, */
const LEAST_FIT = 0.5;
const MOST_ERROR_G = 0.3;
/** or leave less than LITTLE_ERROR_G where there was nothing to remove: a turn that gravity does not follow. */
const LITTLE_ERROR_G = 0.1;
/** A gyro's own tolerance is 3 %; */
const OK_SLOPE = { low: 0.95, high: 1.05 };
/** a single axis is known less well than all three together. */
const OK_AXIS_SLOPE = { low: 0.9, high: 1.1 };
const UNIT_PART = 0.25;
/** Radians taken for degrees, degrees for radians; the next wider or narrower range. */
const FACTORS = [1, DEG_PER_RAD, RAD_PER_DEG, 2, 0.5] as const;

/**
 * Tests the gyro's unit and the signs and order of its axes by physics: turned by the rates, gravity must stay where it
 * is. That is dĝ/dt = -ω × ĝ integrated over four seconds, within which pushes and swings average out. All 48 ways to
 * exchange and mirror the axes compete; an axis is proven where every hypothesis about as good as the logged one agrees
 * on it. Gravity cannot show which of the two sensors is wrong: one mirrored axis of the gyro looks like two mirrored
 * axes of the accelerometer.
 * @param log  the gyro's bias removed, as far as it is known; the force 1 g at rest.
 */
export function testGravity(log: UniformLog): GravityTest {
  const pairs = new StretchPairs(bridgeShortGaps(log));
  if (pairs.count < FEWEST_PAIRS) return nothing(pairs, 'tooLittle', 0);
  const asLogged = refine(pairs, 1, LOGGED_MATRIX);
  const { plausible, isAsLogged } = compete(pairs, asLogged);
  const chosen = simplest(plausible);
  const stands = isAsLogged ? asLogged : refine(pairs, chosen.factor, chosen.axes);
  const names = isAsLogged ? LOGGED_AXES : chosen.names;
  const unturned = Math.sqrt(sumOf(squaredErrors(pairs.propagated([0, 0, 0]), LOGGED_MATRIX)) / pairs.count);
  const fit = unturned > 0 ? Math.max(0, 1 - (stands.errorG / unturned) ** 2) : 0;
  if (unturned <= LITTLE_ERROR_G && staysAlongBody(pairs)) return nothing(pairs, 'along', fit);
  const isTested = ([0, 1, 2] as const).map((k) => plausible.every((one) => one.names[k] === names[k]));
  if (isAsLogged && !isTested.includes(true))
    return nothing(pairs, stands.errorG > MOST_ERROR_G ? 'unclear' : 'tooLittle', fit);
  const isMoved = fit >= LEAST_FIT && stands.errorG <= MOST_ERROR_G;
  if (!isMoved && (isAsLogged || stands.errorG > LITTLE_ERROR_G)) return nothing(pairs, 'unclear', fit);
  const slope = isMoved ? commonSlope(pairs, stands) : null;
  const axes = findAxes(pairs, stands, names, isTested, isMoved);
  const isAccused = isTested.some((is, k) => is && names[k] !== LOGGED_AXES[k]);
  const isScaled = changes({ names }) === 0 && (isAsLogged || slope !== null);
  const verdict = isScaled ? verdictOf(slope, axes) : isAccused ? 'axes' : 'disagree';
  return {
    verdict,
    slope: slope?.slope ?? null,
    low: slope?.low ?? null,
    high: slope?.high ?? null,
    fit,
    gyroAxes: names,
    axes,
    pairs: pairs.count,
  };
}

/** Every hypothesis about as good as the best, and whether the log as it is belongs to them. */
function compete(pairs: StretchPairs, asLogged: Refined): { plausible: Hypothesis[]; isAsLogged: boolean } {
  const tried = [asLogged.factor, ...FACTORS].flatMap((size) => hypothesesAt(pairs, size));
  const rough = bestOf(tried);
  if (rough.factor !== asLogged.factor || changes(rough) > 0)
    tried.push(...hypothesesAt(pairs, Math.abs(refine(pairs, rough.factor, rough.axes).factor)));
  const usual = usualError(tried);
  const least = Math.min(...tried.map(({ errors }) => costOf(errors, usual)));
  const plausible = tried.filter(({ errors }) => costOf(errors, usual) <= least + TELLS);
  const isAsLogged = plausible.some((one) => changes(one) === 0 && [1, asLogged.factor].includes(one.factor));
  return { plausible, isAsLogged };
}

function bestOf(tried: readonly Hypothesis[]): Hypothesis {
  const usual = usualError(tried);
  const costs = tried.map(({ errors }) => costOf(errors, usual));
  return tried[costs.indexOf(Math.min(...costs))]!;
}

/** The hypothesis that changes the fewest axes; of several, the one with the smallest error. */
function simplest(plausible: readonly Hypothesis[]): Hypothesis {
  return plausible.reduce((best, one) => {
    const more = changes(one) - changes(best);
    return more < 0 || (more === 0 && sumOf(one.errors) < sumOf(best.errors)) ? one : best;
  });
}

function findAxes(
  pairs: StretchPairs,
  stands: Refined,
  names: GravityTest['gyroAxes'],
  isTested: readonly boolean[],
  isMoved: boolean,
): GravityTest['axes'] {
  const isInPlace = names.every((name, k) => name[1] === LOGGED_AXES[k]![1]);
  const slopes = isMoved && isInPlace ? axisSlopes(pairs, stands.axes, stands.factor, isTested) : [];
  const find = (k: 0 | 1 | 2): AxisFinding => {
    const slope = slopes[k] ?? null;
    return {
      state: isTested[k] ? stateOf(names[k], LOGGED_AXES[k]!, slope) : 'untested',
      slope,
      spunDeg: pairs.spunDeg[k],
      turnedDeg: pairs.turnedDeg[k],
    };
  };
  return [find(0), find(1), find(2)];
}

function stateOf(name: AxisName, logged: AxisName, slope: Slope | null): AxisState {
  if (name[1] !== logged[1]) return 'swapped';
  if (name[0] === '-') return 'mirrored';
  return slope && isOff(slope, OK_AXIS_SLOPE) ? 'scale' : 'proven';
}

function isOff({ low, high }: Slope, okay: { readonly low: number; readonly high: number }): boolean {
  return low > okay.high || high < okay.low;
}

function verdictOf(slope: Slope | null, axes: GravityTest['axes']): GravityVerdict {
  if (slope && isOff(slope, OK_SLOPE)) {
    const isUnit = [DEG_PER_RAD, RAD_PER_DEG].some((unit) => Math.abs(slope.slope / unit - 1) <= UNIT_PART);
    return isUnit ? 'unit' : 'scale';
  }
  return axes.some(({ state }) => state === 'scale') ? 'scale' : 'ok';
}

function nothing(pairs: StretchPairs, verdict: 'unclear' | 'along' | 'tooLittle', fit: number): GravityTest {
  const untested = (k: 0 | 1 | 2): AxisFinding => ({
    state: 'untested',
    slope: null,
    spunDeg: pairs.spunDeg[k],
    turnedDeg: pairs.turnedDeg[k],
  });
  return {
    verdict,
    slope: null,
    low: null,
    high: null,
    fit,
    gyroAxes: LOGGED_AXES,
    axes: [untested(0), untested(1), untested(2)],
    pairs: pairs.count,
  };
}
