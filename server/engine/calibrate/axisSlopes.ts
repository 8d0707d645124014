import { squaredErrors } from './carriedErrors.ts';
import type { StretchPairs } from './carriedForce.ts';
import { costOf, TELLS, usualError } from './gravityHypotheses.ts';
import { groupsOf, intervalAbout, type Slope, sumOf } from './gravitySlope.ts';
import { NormalEquations, timesVector } from './normalEquations.ts';

/** The parabola is taken over steps that turn gravity by so many degrees, as a rule, or change rates by so much. */
const STEP = { deg: 20, most: 0.03 };
const ROUNDS = 4;
/** Farther than so many steps, a round's parabola says nothing. */
const FARTHEST = 4;
/** Where to begin: a fast take has hollows on the way. */
const ROUGH_STEP = 0.1;
const ROUGH_LEAST = 0.65;
const ROUGH_MOST = 1.45;
const ROUGH = [1, 0.9, 1.1, 0.8, 1.2, 0.7, 1.3, 1.4] as const;
/** A round that makes the error larger than this is lost among the turns of a fast take. */
const WORSE = 1.02;

/**
 * For each of the axes named, what its rates alone have to be multiplied by, those of the others kept at their best: the
 * bottom of the parabola through the errors about a rough guess, time and again. Intervals by leaving groups out.
 * @returns null for all where that finds no bottom.
 * @param told  the axes that the take tells of; the others keep the common factor and have no slope.
 */
export function axisSlopes(
  pairs: StretchPairs,
  axes: Float64Array,
  factor: number,
  told: readonly boolean[],
): (Slope | null)[] {
  const free = [0, 1, 2].filter((axis) => told[axis]);
  const turns = free.map((axis) => pairs.turnedDeg[axis]! / pairs.count);
  const step = Math.min(STEP.most, STEP.deg / Math.max(1, ...turns));
  let at = free.map((axis) => roughSlope(pairs, axes, factor, axis));
  let leftOut: number[][] = [];
  let isFound = false;
  let error = Number.POSITIVE_INFINITY;
  for (let round = 0; round < ROUNDS; ++round) {
    const bowl = new Bowl(pairs, axes, factor, free, at, step);
    if (bowl.error > WORSE * error) return [null, null, null];
    error = bowl.error;
    const base = at;
    const reach = FARTHEST * step;
    const bottom = bowl.bottom(0, 0);
    isFound = bottom.every((by) => Math.abs(by) <= reach);
    at = base.map((s, k) => s + Math.min(reach, Math.max(-reach, bottom[k]!)));
    leftOut = groupsOf(pairs.count).map(([from, to]) => {
      const own = bowl.bottom(from, to);
      return base.map((s, k) => s + own[k]!);
    });
  }
  const isNear = at.every((s) => s > ROUGH_LEAST && s < ROUGH_MOST);
  if (!isFound || !isNear || !isBacked(pairs, axes, factor, free, at)) return [null, null, null];
  const size = Math.abs(factor);
  return [0, 1, 2].map((axis) => {
    const k = free.indexOf(axis);
    if (k < 0) return null;
    const others = leftOut.map((one) => size * one[k]!);
    return intervalAbout(size * at[k]!, others);
  });
}

/**
 * Whether most pairs stand behind slopes that differ from the common one: a few bad pairs, or a turn there and back whose
 * size gravity hardly shows, can have any.
 */
function isBacked(
  pairs: StretchPairs,
  axes: Float64Array,
  factor: number,
  free: readonly number[],
  at: readonly number[],
): boolean {
  if (at.every((s) => Math.abs(s - 1) < ROUGH_STEP)) return true;
  const errorsAt = (slopes: readonly number[]): Float64Array => {
    const factors: [number, number, number] = [factor, factor, factor];
    free.forEach((axis, k) => {
      factors[axis] = factor * slopes[k]!;
    });
    return squaredErrors(pairs.carried(factors), axes);
  };
  const [common, own] = [errorsAt(free.map(() => 1)), errorsAt(at)];
  const usual = usualError([{ errors: common }, { errors: own }]);
  return costOf(common, usual) - costOf(own, usual) >= 2 * TELLS;
}

/** The best of a coarse grid for one axis, the others as they are. */
function roughSlope(pairs: StretchPairs, axes: Float64Array, factor: number, axis: number): number {
  const errors = ROUGH.map((by) => {
    const factors: [number, number, number] = [factor, factor, factor];
    factors[axis] = factor * by;
    return sumOf(squaredErrors(pairs.carried(factors), axes));
  });
  return ROUGH[errors.indexOf(Math.min(...errors))]!;
}

/** The errors about a point, as a parabola in the slopes that are free. */
class Bowl {
  private readonly free: readonly number[];
  private readonly step: number;
  private readonly here: Float64Array;
  private readonly up: readonly Float64Array[];
  private readonly down: readonly Float64Array[];
  private readonly both: readonly (readonly Float64Array[])[];

  constructor(
    pairs: StretchPairs,
    axes: Float64Array,
    factor: number,
    free: readonly number[],
    at: readonly number[],
    step: number,
  ) {
    const errorsAt = (steps: readonly number[]): Float64Array => {
      const factors: [number, number, number] = [factor, factor, factor];
      free.forEach((axis, k) => {
        factors[axis] = factor * (at[k]! + steps[k]!);
      });
      return squaredErrors(pairs.carried(factors), axes);
    };
    const stepped = (i: number, by: number, j = -1): Float64Array =>
      errorsAt(free.map((_, k) => (k === i || k === j ? by : 0)));
    this.free = free;
    this.step = step;
    this.here = stepped(-1, 0);
    this.up = free.map((_, i) => stepped(i, step));
    this.down = free.map((_, i) => stepped(i, -step));
    this.both = free.map((_, i) => free.slice(0, i).map((_, j) => stepped(i, step, j)));
  }

  /** Of all pairs, at the point itself. */
  get error(): number {
    return sumOf(this.here);
  }

  /** The step to the bottom of the parabola of all pairs but those of a group. */
  bottom(from: number, to: number): Float64Array {
    const n = this.free.length;
    const { step } = this;
    const total = (errors: Float64Array): number => sumOf(errors) - sumOf(errors, from, to);
    const here = total(this.here);
    const bend = new NormalEquations(n);
    const ups = this.up.map(total);
    this.down.map(total).forEach((down, i) => {
      bend.xx[n * i + i] = (ups[i]! - 2 * here + down) / (step * step);
      bend.xy[i] = -(ups[i]! - down) / (2 * step);
    });
    this.both.forEach((row, i) => {
      row.forEach((errors, j) => {
        const mixed = (total(errors) - ups[i]! - ups[j]! + here) / (step * step);
        bend.xx[n * i + j] = mixed;
        bend.xx[n * j + i] = mixed;
      });
    });
    const ridge = new Float64Array(n).fill(1e-9);
    const inverse = bend.inverse(ridge);
    return inverse ? timesVector(inverse, bend.xy) : new Float64Array(n);
  }
}
