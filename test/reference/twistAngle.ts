import { apply, IDENTITY, type Matrix, matrixOfVector, times, type Vector } from './rotation.ts';

/**
 * Both angles about the blade since the first sample, by matrices. *Turned* adds up mean rates. *Swing-twist* turns the
 * whole by the shortest way that brings the blade back to where it pointed, reads what is left about it, and unwraps;
 * where the blade points more than 140° away there is none, and behind that the full turns are those of *turned*.
 */
export function slowTwist(
  rateDps: readonly Vector[],
  sampleHz: number,
): { turnedDeg: number; twistDeg: number }[] {
  let whole: Matrix = IDENTITY;
  let turnedDeg = 0;
  let twistDeg = 0;
  return rateDps.map((rate, n) => {
    if (n > 0) {
      const before = rateDps[n - 1]!;
      const step = rate.map((part, k) => (part + before[k]!) / 2 / sampleHz) as unknown as Vector;
      turnedDeg += step[0];
      whole = times(whole, matrixOfVector(step.map((part) => (part * Math.PI) / 180) as unknown as Vector));
      const isFar = whole[0]![0] < Math.cos((140 * Math.PI) / 180);
      const near = Number.isNaN(twistDeg) ? turnedDeg : twistDeg;
      const now = leftAboutBlade(whole);
      twistDeg = isFar ? Number.NaN : now + 360 * Math.round((near - now) / 360);
    }
    return { turnedDeg, twistDeg };
  });
}

function leftAboutBlade(whole: Matrix): number {
  const blade = apply(whole, [1, 0, 0]);
  // blade × x, along which the shortest way back turns
  const axis: Vector = [0, blade[2], -blade[1]];
  const sine = Math.hypot(...axis);
  const angle = Math.atan2(sine, blade[0]);
  const back =
    sine === 0 ? IDENTITY : matrixOfVector(axis.map((part) => (part * angle) / sine) as unknown as Vector);
  const side = apply(times(back, whole), [0, 1, 0]);
  return (Math.atan2(side[2], side[1]) * 180) / Math.PI;
}
