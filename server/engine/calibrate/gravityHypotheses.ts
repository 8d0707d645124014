import { type AxisName, listMounts, mountMatrix } from '../base/mount.ts';
import { upperMedian } from '../statistics/sorted.ts';
import { nuisanceDesign, squaredErrors } from './pairErrors.ts';
import type { StretchPairs } from './stretchPairs.ts';

/** One way in which the gyro's axes may stand to the accelerometer's. */
export interface Hypothesis {
  /** Factor on all rates; negative where the sense of every turn is reversed. */
  readonly factor: number;
  /** Row k: the gyro's axes that stand for the accelerometer's axis k. */
  readonly axes: Float64Array;
  /** For each axis of the accelerometer, the gyro's axis that turns about it. */
  readonly names: readonly [AxisName, AxisName, AxisName];
  /** Each pair's squared error, g². */
  readonly errors: Float64Array;
}

export const LOGGED_AXES: readonly [AxisName, AxisName, AxisName] = ['+x', '+y', '+z'];
export const LOGGED_MATRIX: Float64Array = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
/** Hypotheses whose logarithm of the likelihood is within this of the best one's cannot be told apart: 4 is 50 to 1. */
export const TELLS = 4;
/** The error of an accelerometer without calibration under the right hypothesis. */
const UNTRIMMED_G = 0.05;
/**
 * Weight of a pair's log-likelihood, on the cautious side: neighbouring pairs share three quarters of their samples,
 * and each has five numbers that err.
 */
const WEIGHT = 0.5;

/** All 48 ways to exchange and mirror the gyro's axes, every rate times `size`. */
export function hypothesesAt(pairs: StretchPairs, size: number): Hypothesis[] {
  return [size, -size].flatMap((factor) => {
    const propagated = pairs.propagated([factor, factor, factor]);
    const design = nuisanceDesign(propagated);
    return listMounts().map((mount) => {
      const axes = mountMatrix(mount);
      return { factor, axes, names: namesOf(factor, axes), errors: squaredErrors(propagated, axes, design) };
    });
  });
}

/** How many axes differ from the logged ones. */
export function changes({ names }: Pick<Hypothesis, 'names'>): number {
  return names.filter((name, k) => name !== LOGGED_AXES[k]).length;
}

/** The error, squared, that even the best hypothesis makes in most pairs. */
export function usualError(hypotheses: readonly Pick<Hypothesis, 'errors'>[]): number {
  return Math.min(...hypotheses.map(({ errors }) => upperMedian(errors))) + UNTRIMMED_G * UNTRIMMED_G;
}

/**
 * Cost of a hypothesis: minus its log-likelihood, for errors with tails so heavy that a single push of the hand decides
 * nothing.
 */
export function costOf(errors: Float64Array, usual: number): number {
  let sum = 0;
  for (let k = 0; k < errors.length; ++k) sum += Math.log1p(errors[k]! / usual);
  return WEIGHT * sum;
}

function namesOf(factor: number, axes: Float64Array): [AxisName, AxisName, AxisName] {
  const name = (row: number): AxisName => {
    const column = [0, 1, 2].find((c) => axes[3 * row + c] !== 0)!;
    const sign = axes[3 * row + column]! * factor > 0 ? '+' : '-';
    return `${sign}${(['x', 'y', 'z'] as const)[column]!}`;
  };
  return [name(0), name(1), name(2)];
}
