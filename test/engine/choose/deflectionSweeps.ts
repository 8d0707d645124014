import type { ChoiceTake } from '../../../server/engine/choose/takeSweep.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { type DeflectionSweep, sweepDeflection } from '../../../server/engine/sweep/deflectionSweep.ts';

export const base = DEFAULT_CANDIDATE.deflection;

/** Few enough cells for a naive loop over all of them; the first speed is too low to be chosen. */
export const axes = { speedsDps: [60, 120, 240, 360, 480, 600], rearmRatios: [0.3, 0.6, 0.9] };

export function sweepOf(
  { signals, truth }: Pick<ChoiceTake, 'signals' | 'truth'>,
  over: { readonly speedsDps: readonly number[]; readonly rearmRatios: readonly number[] } = axes,
): DeflectionSweep {
  return sweepDeflection({ signals, swings: truth.swings, base, ...over });
}
