import { costOf, TELLS, usualError } from './gravityHypotheses.ts';
import { sumOf } from './gravitySlope.ts';
import { squaredErrors } from './pairErrors.ts';
import { fitSlopes, type SlopeFit } from './slopeFit.ts';
import { type Slope, slopeInterval } from './slopeInterval.ts';
import type { StretchPairs, Vec3 } from './stretchPairs.ts';

/** Starting points of the search, as parts of the common factor: in a fast take the error has local minima. */
const ROUGH = [1, 0.9, 1.1, 0.8, 1.2, 0.7, 1.3, 1.4] as const;
const ROUGH_ROUNDS = 2;
const ROUGH_LEAST = 0.65;
const ROUGH_MOST = 1.45;
/** Slopes this near to the common one need no proof. */
const NEAR = 0.1;

/**
 * For each tested axis, the factor by which its rates alone would have to be multiplied, the other axes fitted with it.
 * @returns null for all where the search diverges.
 * @param isTested  axes that the take has evidence of; the others keep the common factor and have no slope.
 */
export function axisSlopes(
  pairs: StretchPairs,
  axes: Float64Array,
  factor: number,
  isTested: readonly boolean[],
): (Slope | null)[] {
  const free = [0, 1, 2].filter((axis) => isTested[axis]);
  const groups = free.map((axis) => [axis]);
  const common: Vec3 = [factor, factor, factor];
  const near = fitSlopes(pairs, axes, common, groups);
  const fit = near && isNear(near, factor) ? near : fitFromRough(pairs, axes, factor, free);
  if (!fit || !isBacked(pairs, axes, factor, free, fit)) return [null, null, null];
  return [0, 1, 2].map((axis) => {
    const k = free.indexOf(axis);
    return k < 0 ? null : slopeInterval(pairs, fit, k);
  });
}

function isNear({ slopes }: SlopeFit, factor: number): boolean {
  return slopes.every((slope) => Math.abs(slope / factor - 1) < NEAR);
}

function fitFromRough(
  pairs: StretchPairs,
  axes: Float64Array,
  factor: number,
  free: readonly number[],
): SlopeFit | null {
  const from: [number, number, number] = [factor, factor, factor];
  // the axis that turns gravity most comes first: while one axis is wrong, the common factor is wrong too, and with it
  // every other start
  const order = [...free].sort((a, b) => pairs.turnedDeg[b]! - pairs.turnedDeg[a]!);
  for (let round = 0; round < ROUGH_ROUNDS; ++round)
    for (const axis of order) from[axis] = roughFactor(pairs, axes, factor, from, axis);
  const groups = free.map((axis) => [axis]);
  const fit = fitSlopes(pairs, axes, from, groups);
  const isInside = (slope: number): boolean => slope / factor > ROUGH_LEAST && slope / factor < ROUGH_MOST;
  return fit?.slopes.every(isInside) ? fit : null;
}

/**
 * Whether the slopes that differ from the common one improve most pairs: a few bad pairs, or a turn there and back
 * whose size gravity hardly shows, can produce any slope.
 */
function isBacked(
  pairs: StretchPairs,
  axes: Float64Array,
  factor: number,
  free: readonly number[],
  fit: SlopeFit,
): boolean {
  if (isNear(fit, factor)) return true;
  const found: [number, number, number] = [factor, factor, factor];
  free.forEach((axis, k) => {
    found[axis] = fit.slopes[k]!;
  });
  const [common, apart] = [[factor, factor, factor] as const, found].map((factors) =>
    squaredErrors(pairs.propagated(factors), axes),
  ) as [Float64Array, Float64Array];
  const usual = usualError([{ errors: common }, { errors: apart }]);
  return costOf(common, usual) - costOf(apart, usual) >= 2 * TELLS;
}

/** The best of a coarse grid for one axis, the others as they are. */
function roughFactor(
  pairs: StretchPairs,
  axes: Float64Array,
  factor: number,
  from: Vec3,
  axis: number,
): number {
  const errors = ROUGH.map((by) => {
    const factors: [number, number, number] = [...from];
    factors[axis] = factor * by;
    return sumOf(squaredErrors(pairs.propagated(factors), axes));
  });
  return factor * ROUGH[errors.indexOf(Math.min(...errors))]!;
}
