import type { SignalCheck } from '../../check/checkSignals.ts';
import { unfitness } from '../../choose/evidence.ts';
import type { RateMotion } from '../../motion/motion.ts';
import { lineName } from './check.ts';

/**
 * The only judgement whether a take's signals are fit to choose thresholds on: the full signal check, and a rate at
 * which reversals can be seen.
 * @returns the reason against it, as in "Title: ..."; null where there is none.
 */
export function tuningFitness(
  { lines }: Pick<SignalCheck, 'lines'>,
  { rateHz, timeUs, trueSpeedDps }: Pick<RateMotion, 'rateHz' | 'timeUs' | 'trueSpeedDps'>,
): string | null {
  const failed = lines.filter(({ state }) => state === 'fail').map(({ id }) => lineName(id).toLowerCase());
  if (failed.length > 0) return `the signal check fails it on ${failed.join(', ')}`;
  return unfitness({ rateHz, timeUs, swingSpeedDps: trueSpeedDps });
}
