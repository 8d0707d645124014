import type { DeflectionSettings } from '../detect/deflection.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';
import type { RateMotion } from '../motion/motion.ts';
import { computeSpeedSignals } from '../motion/signals.ts';
import type { Swing } from '../truth/swings.ts';
import { verdictsOn } from './deflectionVerdicts.ts';
import { worstUnderEach } from './stress.ts';
import { STRESS_NAMES, type StressName } from './stressRates.ts';

/** A swing that deflects once as recorded and does not under the stress, or the other way round. */
export interface SwingFlip {
  readonly takeId: string;
  readonly peakUs: number;
}

/** The swings' fates under one stress: of its variants the worst on this take. The swings are those of the recording. */
export interface DeflectionStress {
  readonly name: StressName;
  readonly missed: number;
  readonly twice: number;
  readonly outside: number;
  readonly flips: readonly SwingFlip[];
  /** Fires outside any swing beyond those that there are without the stress. */
  readonly moreOutside: number;
}

/** @param take  `swings` in the order of their peaks. */
export function stressDeflection(
  take: { readonly id: string; readonly motion: RateMotion; readonly swings: readonly Swing[] },
  smoothing: SmoothingSettings,
  deflection: DeflectionSettings,
): DeflectionStress[] {
  const { id, motion, swings } = take;
  const usual = verdictsOn(computeSpeedSignals(motion, smoothing), swings, deflection);
  return worstUnderEach(
    motion,
    smoothing,
    (name, signals): DeflectionStress => {
      const { fires, outsideUs } = verdictsOn(signals, swings, deflection);
      const flips = swings.flatMap(({ peakUs }, i): SwingFlip[] =>
        (fires[i] === 1) === (usual.fires[i] === 1) ? [] : [{ takeId: id, peakUs }],
      );
      return {
        name,
        missed: fires.filter((count) => count === 0).length,
        twice: fires.filter((count) => count > 1).length,
        outside: outsideUs.length,
        flips,
        moreOutside: Math.max(0, outsideUs.length - usual.outsideUs.length),
      };
    },
    ({ missed, twice, outside, flips }) => [missed + twice + outside, flips.length],
  );
}

/** Several takes' results as one, stress by stress. */
export function sumDeflectionStress(results: readonly (readonly DeflectionStress[])[]): DeflectionStress[] {
  return STRESS_NAMES.map((name) => {
    const own = results.flatMap((one) => one.filter((result) => result.name === name));
    const total = (of: (one: DeflectionStress) => number) => own.reduce((sum, one) => sum + of(one), 0);
    return {
      name,
      missed: total((one) => one.missed),
      twice: total((one) => one.twice),
      outside: total((one) => one.outside),
      flips: own.flatMap((one) => one.flips),
      moreOutside: total((one) => one.moreOutside),
    };
  });
}
