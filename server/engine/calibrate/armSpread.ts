import { RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../base/units.ts';
import { quantileSorted } from '../statistics/sorted.ts';
import type { ArmStretch } from './leverArm.ts';

/** How the lever arm differs from swing to swing, as a performer turns from wrist, elbow or shoulder. */
export interface ArmSpread {
  readonly stretches: number;
  readonly medianM: number;
  /** The middle half. */
  readonly lowM: number;
  readonly highM: number;
  /** Thrust error of a swing at the take's median peak whose arm lies at an end of the middle half. */
  readonly thrustErrorG: number;
  readonly atDps: number;
}

/** The quartiles of the stretches' lever arms; null where there is no stretch. */
export function armSpread(stretches: readonly ArmStretch[]): ArmSpread | null {
  if (stretches.length === 0) return null;
  const arms = Float64Array.from(stretches, ({ leverArmM }) => leverArmM).sort();
  const peaks = Float64Array.from(stretches, ({ peakDps }) => peakDps).sort();
  const [lowM, medianM, highM] = [0.25, 0.5, 0.75].map((p) => quantileSorted(arms, p)) as [
    number,
    number,
    number,
  ];
  const atDps = quantileSorted(peaks, 0.5);
  const thrustErrorG = pullG(Math.max(highM - medianM, medianM - lowM), atDps);
  return { stretches: stretches.length, medianM, lowM, highM, thrustErrorG, atDps };
}

/** Centripetal acceleration at a lever arm, in g: r ω² / g. */
export function pullG(leverArmM: number, rateDps: number): number {
  const rate = rateDps * RAD_PER_DEG;
  return (leverArmM * rate * rate) / STANDARD_GRAVITY_MPS2;
}
