import type { SignalCheck } from '../check/checkSignals.ts';
import type { RateMotion } from '../motion/motion.ts';
import { type Unfit, unfitness } from './unfit.ts';

/**
 * The only judgement whether a take's signals are fit to choose thresholds on: the full signal check, and a rate at
 * which reversals can be seen.
 * @returns the reason against it; null where there is none.
 */
export function tuningFitness(
  { lines }: Pick<SignalCheck, 'lines'>,
  { rateHz, timeUs, trueSpeedDps }: Pick<RateMotion, 'rateHz' | 'timeUs' | 'trueSpeedDps'>,
): Unfit | null {
  const failed = lines.filter(({ state }) => state === 'fail').map(({ id }) => id);
  if (failed.length > 0) return { kind: 'check', failed };
  return unfitness({ rateHz, timeUs, swingSpeedDps: trueSpeedDps });
}
