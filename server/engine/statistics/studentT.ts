import { Z_95_TWO_SIDED as Z } from './wilson.ts';

/**
 * Half width, in standard errors, of a two-sided 95 % interval with `freedom` degrees of freedom.
 * @param freedom  need not be whole: below 3, straight lines between the closed forms at 1 and 2 and the value at 3.
 * @throws RangeError  unless freedom is 1 or more.
 * Source: the expansion of Student's t in 1 / freedom, Abramowitz and Stegun 26.7.5 (place from memory); off by under
 * 1 % from 3 degrees on.
 */
export function studentT95(freedom: number): number {
  if (!(freedom >= 1)) throw new RangeError(`freedom must be 1 or more, got ${freedom}`);
  if (freedom >= 3) return series(freedom);
  // t² / (2 + t²) = 0.95² at 2 degrees, 2 atan(t) / π = 0.95 at 1
  const atTwo = Math.sqrt((2 * 0.95 ** 2) / (1 - 0.95 ** 2));
  if (freedom >= 2) return blend(atTwo, series(3), freedom - 2);
  return blend(Math.tan((0.95 * Math.PI) / 2), atTwo, freedom - 1);
}

/**
 * Radius, in standard errors, of the circle that holds a point of the plane with probability 0.95.
 * @throws RangeError  unless freedom is 1 or more.
 * Source: the F distribution with 2 and n degrees of freedom has a closed form, P(F > x) = (1 + 2x/n)^(-n/2).
 */
export function planeRadius95(freedom: number): number {
  if (!(freedom >= 1)) throw new RangeError(`freedom must be 1 or more, got ${freedom}`);
  return Math.sqrt(freedom * (0.05 ** (-2 / freedom) - 1));
}

function series(n: number): number {
  const z2 = Z * Z;
  const g1 = (Z * (z2 + 1)) / 4;
  const g2 = (Z * ((5 * z2 + 16) * z2 + 3)) / 96;
  const g3 = (Z * (((3 * z2 + 19) * z2 + 17) * z2 - 15)) / 384;
  const g4 = (Z * ((((79 * z2 + 776) * z2 + 1482) * z2 - 1920) * z2 - 945)) / 92160;
  return Z + g1 / n + g2 / n ** 2 + g3 / n ** 3 + g4 / n ** 4;
}

function blend(a: number, b: number, part: number): number {
  return a + part * (b - a);
}
