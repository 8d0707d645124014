import type { SweepGrid } from '../sweep/grid.ts';
import { SWING_MIN_PEAK_DPS } from '../truth/swings.ts';
import type { Weighing } from './problem.ts';

/** A setting counts as worse where this share more of the reversals or of the quiet time goes wrong. */
export const STEP = 0.05;
const ERROR_COST = 1000;
/**
 * A setting counts as worse with this share more of wrong fires among those that should fire: one odd swing in fifty is
 * less.
 */
const FIRE_STEP = 0.02;

/** Slower than the slowest swing a guard would close, and a deflection fire, on a blade that is carried. */
export const LEAST_SPEED_DPS = SWING_MIN_PEAK_DPS;

type Costed<Part extends string> = Pick<Weighing<Part>, 'x' | 'sizeOf' | 'errors' | 'steps'>;

/**
 * The guard's cost. First what comes out wrong, presses let through and refused alike. Among equals, in steps of 1 in 20,
 * the reversals at which the guard opens, and the quiet time in which it is closed: a stray press may come at any
 * reversal, a wanted one at any quiet moment, and there are far more of both than of labelled presses. The step keeps a
 * single odd one from pushing the choice to the edge.
 *
 * NaN for a setting that is not to be suggested.
 */
export function errorsFirst<Part extends string>(problem: Costed<Part>, grid: SweepGrid<Part>): Float64Array {
  const costs = errorsOf(problem, grid).map((errors) => ERROR_COST * errors);
  for (const part of problem.steps) {
    const wrong = grid.wrong[part];
    const whole = grid.sizes[problem.sizeOf[part]]!;
    for (let cell = 0; cell < costs.length; ++cell) costs[cell]! += stepsOf(wrong[cell]!, whole);
  }
  return costs;
}

/**
 * The cost of a detector that fires: all that goes wrong, alike; counted from the best setting on, in steps of 1 in 50
 * of what should fire. NaN as above.
 */
export function errorsInSteps<Part extends string>(
  problem: Costed<Part>,
  grid: SweepGrid<Part>,
  slack: number,
): Float64Array {
  const errors = errorsOf(problem, grid);
  const best = leastOf(errors);
  const size = grid.sizes[problem.sizeOf[problem.errors[0]![0]!]]!;
  const step = Math.max(1, FIRE_STEP * size);
  return errors.map((count) => Math.floor(Math.max(0, count - best - slack) / step + 1e-9));
}

/** All that is wrong cell by cell, but for what counts in steps; NaN for a setting that is not to be suggested. */
export function errorsOf<Part extends string>(
  { x, errors }: Pick<Costed<Part>, 'x' | 'errors'>,
  { xs, ys, wrong }: SweepGrid<Part>,
): Float64Array {
  const all = new Float64Array(xs.length * ys.length);
  for (const part of errors.flat()) {
    const counts = wrong[part];
    for (let cell = 0; cell < all.length; ++cell) all[cell]! += counts[cell]!;
  }
  const tried = xs.findIndex((value) => value >= (x.least ?? -Infinity));
  return all.fill(Number.NaN, 0, (tried < 0 ? xs.length : tried) * ys.length);
}

/** Infinity where none is a number. */
export function leastOf(counts: Float64Array): number {
  let least = Infinity;
  for (const count of counts) if (count < least) least = count;
  return least;
}

/** 0 for less than 1 in 20. */
export function stepsOf(part: number, whole: number): number {
  return whole === 0 ? 0 : Math.floor(part / (STEP * whole) + 1e-9);
}
