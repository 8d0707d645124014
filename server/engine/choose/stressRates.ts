import { Scratch } from '../base/scratch.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';
import type { RateMotion } from '../motion/motion.ts';
import { computeSpeedSignals, type SpeedSignals } from '../motion/signals.ts';
import { atHalfRate, type ColumnStress, stressed } from './stressedColumns.ts';

/** Something that may differ from the day of the recording. */
export type RateStress =
  | Extract<ColumnStress, 'gyroMore' | 'gyroLess' | 'mount' | 'bias' | 'rateNoise'>
  | 'halfRate';

export const RATE_STRESSES: readonly RateStress[] = [
  'gyroMore',
  'gyroLess',
  'mount',
  'bias',
  'halfRate',
  'rateNoise',
];

/** Across the blade: no speed feels one about it. */
const BIASES = [
  [0, 1, 0],
  [0, 0, 1],
  [0, -1, 0],
  [0, 0, -1],
];

type Rates = Parameters<typeof computeSpeedSignals>[0];

/** A take's speed signals under a stress, one for each variant of it. Calling one overwrites what the one before has given. */
export function signalsUnder(
  stress: string,
  { motion, signals: own }: { readonly motion: RateMotion; readonly signals: SpeedSignals },
  smoothing: SmoothingSettings,
): readonly (() => SpeedSignals)[] {
  const scratch = new Scratch();
  return ratesUnder(stress as RateStress, motion, scratch).map((ratesOf) => () => {
    const rates = ratesOf();
    const signals = computeSpeedSignals(rates, smoothing, scratch.column('speed', rates.timeUs.length));
    return { ...signals, deflectionPresses: own.deflectionPresses ?? null };
  });
}

function ratesUnder(stress: RateStress, motion: RateMotion, scratch: Scratch): readonly (() => Rates)[] {
  const room = (name: string, length: number) => scratch.column(name, length);
  if (stress !== 'halfRate') return stressed(stress, motion, ['gyroYDps', 'gyroZDps'], BIASES, room);
  const names = ['trueSpeedDps', 'gyroYDps', 'gyroZDps'] as const;
  return [0, 1].map((first) => () => atHalfRate(motion, names, first, room));
}
