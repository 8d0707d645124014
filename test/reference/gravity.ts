import { designLowPass } from '../../server/engine/filter/butterworth.ts';
import { differenceEquation, expand } from './filter.ts';
import { apply, IDENTITY, type Matrix, matrixOfVector, times, transpose, type Vector } from './rotation.ts';

/**
 * Gravity in the body frame the long way round: all attitudes as matrices first, then the force in the frame that does
 * not turn, its change of speed about the turning point taken off, one long mean per axis, and back.
 */
export function slowGravity(
  rateDps: readonly Vector[],
  forceG: readonly Vector[],
  sampleHz: number,
  leverArmM: number,
  cornerHz = 0.12,
  startS = 0.5,
): Vector[] {
  const attitudes: Matrix[] = [IDENTITY];
  for (let n = 1; n < rateDps.length; ++n) {
    const half = [0, 1, 2].map(
      (k) => (((rateDps[n]![k]! + rateDps[n - 1]![k]!) / 2) * Math.PI) / 180 / sampleHz,
    ) as unknown as Vector;
    attitudes.push(times(attitudes[n - 1]!, matrixOfVector(half)));
  }
  const speeds = attitudes.map((attitude, n) => {
    const [, y, z] = rateDps[n]!.map((part) => (part * Math.PI) / 180) as unknown as Vector;
    return apply(attitude, [0, leverArmM * z, -leverArmM * y]);
  });
  const still = attitudes.map((attitude, n) => {
    const force = apply(attitude, forceG[n]!);
    return force.map((f, k) =>
      n === 0 ? f : f - ((speeds[n]![k]! - speeds[n - 1]![k]!) * sampleHz) / 9.80665,
    );
  });
  const means = [0, 1, 2].map((k) =>
    meanOf(
      still.map((force) => force[k]!),
      sampleHz,
      cornerHz,
      startS,
    ),
  );
  return attitudes.map((attitude, n) => {
    const mean = means.map((axis) => axis[n]!) as unknown as Vector;
    const size = Math.hypot(...mean);
    return apply(transpose(attitude), mean.map((part) => part / size) as unknown as Vector);
  });
}

/** The plain mean of all so far; after `startS`, a low-pass that has seen that mean for ever. */
function meanOf(x: readonly number[], sampleHz: number, cornerHz: number, startS: number): number[] {
  const start = Math.ceil(startS * sampleHz);
  const head = x.slice(0, start).map((_, n) => x.slice(0, n + 1).reduce((sum, v) => sum + v, 0) / (n + 1));
  const before = head.at(-1)!;
  const { b, a } = expand(designLowPass(2, cornerHz, sampleHz));
  return [...head, ...differenceEquation(b, a, x.slice(start), { x: before, y: before })];
}
