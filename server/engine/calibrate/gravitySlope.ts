import { squaredErrors } from './carriedErrors.ts';
import type { StretchPairs } from './carriedForce.ts';
import { studentT95 } from './studentT.ts';

/** What rates have to be multiplied by, with its 95 % interval. */
export interface Slope {
  readonly slope: number;
  readonly low: number;
  readonly high: number;
}

export interface Refined {
  readonly factor: number;
  readonly axes: Float64Array;
  /** Root mean square over pairs. */
  readonly errorG: number;
  readonly factors: readonly number[];
  /** Per factor, each pair's squared error. */
  readonly errors: readonly Float64Array[];
}

/** Steps of the search, first coarse, then about the best. */
const COARSE = { step: 0.03, steps: 8 };
const FINE = { step: 0.01, steps: 2 };
const GROUPS = 10;

/** The best factor within a quarter of `factor`, on a grid, a finer one, and between the points of that. */
export function refine(pairs: StretchPairs, factor: number, axes: Float64Array): Refined {
  const coarse = errorsAbout(pairs, factor, factor, COARSE, axes);
  const best = coarse[lowest(coarse.map(({ errors }) => sumOf(errors)))]!;
  const fine = errorsAbout(pairs, best.factor, factor, FINE, axes).filter(
    ({ factor: one }) => one !== best.factor,
  );
  const all = [...coarse, ...fine].sort((a, b) => a.factor - b.factor);
  const [factors, errors] = [all.map((one) => one.factor), all.map((one) => one.errors)];
  const sums = errors.map((row) => sumOf(row));
  const at = lowest(sums);
  const errorG = Math.sqrt(sums[at]! / pairs.count);
  return { factor: between(factors, sums, at), axes, errorG, factors, errors };
}

function errorsAbout(
  pairs: StretchPairs,
  middle: number,
  unit: number,
  { step, steps }: { readonly step: number; readonly steps: number },
  axes: Float64Array,
): { factor: number; errors: Float64Array }[] {
  return Array.from({ length: 2 * steps + 1 }, (_, k) => {
    const factor = middle + unit * (k - steps) * step;
    return { factor, errors: squaredErrors(pairs.carried([factor, factor, factor]), axes) };
  });
}

/** 95 % from ten groups of neighbouring pairs, each left out in turn: the delete-a-group jackknife. */
export function slopeOf({ factor, factors, errors }: Refined): Slope {
  const leftOut = groupsOf(errors[0]!.length).map(([from, to]) => {
    const sums = errors.map((row) => sumOf(row) - sumOf(row, from, to));
    return between(factors, sums, lowest(sums));
  });
  return intervalAbout(Math.abs(factor), leftOut.map(Math.abs));
}

/** The interval about an estimate from the estimates that lack one group each. */
export function intervalAbout(slope: number, leftOut: readonly number[]): Slope {
  const n = leftOut.length;
  const squares = leftOut.reduce((sum, one) => sum + (one - slope) ** 2, 0);
  const half = studentT95(Math.max(2, n - 1)) * Math.sqrt(((n - 1) / n) * squares);
  return { slope, low: Math.max(0, slope - half), high: slope + half };
}

export function groupsOf(count: number): [number, number][] {
  const groups = Math.min(GROUPS, count);
  return Array.from({ length: groups }, (_, g) => [
    Math.floor((g * count) / groups),
    Math.floor(((g + 1) * count) / groups),
  ]);
}

export function sumOf(values: Float64Array, from = 0, to = values.length): number {
  let sum = 0;
  for (let i = from; i < to; ++i) sum += values[i]!;
  return sum;
}

/** Where the parabola through the lowest point and its neighbours has its bottom; never beyond them. */
function between(x: readonly number[], y: readonly number[], at: number): number {
  const [x0, x1, x2] = [x[at - 1], x[at]!, x[at + 1]];
  if (x0 === undefined || x2 === undefined) return x1;
  const [y0, y1, y2] = [y[at - 1]!, y[at]!, y[at + 1]!];
  const left = (x1 - x0) * (y1 - y2);
  const right = (x1 - x2) * (y1 - y0);
  const bend = left - right;
  if (bend === 0) return x1;
  const bottom = x1 - ((x1 - x0) * left - (x1 - x2) * right) / (2 * bend);
  return Math.min(x2, Math.max(x0, bottom));
}

function lowest(values: readonly number[]): number {
  return values.reduce((best, value, k) => (value < values[best]! ? k : best), 0);
}
