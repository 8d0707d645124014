import { squaredErrors } from './pairErrors.ts';
import { fitSlopes } from './slopeFit.ts';
import { type Slope, slopeInterval } from './slopeInterval.ts';
import type { StretchPairs } from './stretchPairs.ts';

export interface Refined {
  readonly factor: number;
  readonly axes: Float64Array;
  /** Root mean square over pairs. */
  readonly errorG: number;
  /** The lowest error stands at an end of the search: the best factor is not known. */
  readonly isAtEdge: boolean;
}

/** Steps of the search: first coarse, then fine around the best. */
const COARSE = { step: 0.04, steps: 6 };
const FINE = { step: 0.01, steps: 2 };
/**
 * The search fits no gains and no delay, and may be wrong by a tenth; a fit that ends farther away has found another
 * minimum.
 */
const FARTHEST = 0.2;

/** The best factor within a quarter of `factor`, on a grid and then a finer one. */
export function refine(pairs: StretchPairs, factor: number, axes: Float64Array): Refined {
  const coarse = errorsAbout(pairs, factor, factor, COARSE, axes);
  const at = lowest(coarse);
  const fine = errorsAbout(pairs, coarse[at]!.factor, factor, FINE, axes);
  const best = fine[lowest(fine)]!;
  return {
    factor: best.factor,
    axes,
    errorG: Math.sqrt(best.error / pairs.count),
    isAtEdge: at === 0 || at === coarse.length - 1,
  };
}

function errorsAbout(
  pairs: StretchPairs,
  middle: number,
  unit: number,
  { step, steps }: { readonly step: number; readonly steps: number },
  axes: Float64Array,
): { readonly factor: number; readonly error: number }[] {
  return Array.from({ length: 2 * steps + 1 }, (_, k) => {
    const factor = middle + unit * (k - steps) * step;
    return { factor, error: sumOf(squaredErrors(pairs.propagated([factor, factor, factor]), axes)) };
  });
}

/** The slope that all axes share, with its interval; null where the take leaves it open. */
export function commonSlope(pairs: StretchPairs, { factor, axes, isAtEdge }: Refined): Slope | null {
  if (isAtEdge) return null;
  const fit = fitSlopes(pairs, axes, [factor, factor, factor], [[0, 1, 2]]);
  if (!fit || Math.abs(fit.slopes[0]! / factor - 1) > FARTHEST) return null;
  return slopeInterval(pairs, fit, 0);
}

export function sumOf(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; ++i) sum += values[i]!;
  return sum;
}

function lowest(tried: readonly { readonly error: number }[]): number {
  return tried.reduce((best, { error }, k) => (error < tried[best]!.error ? k : best), 0);
}
