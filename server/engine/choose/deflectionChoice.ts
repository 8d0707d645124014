import { type Interval, wilsonInterval } from '../statistics/wilson.ts';
import type { DeflectionSweep } from '../sweep/deflectionSweep.ts';
import { findPlateau, type Plateau, type Rise, riseWithin } from '../sweep/plateau.ts';
import { type Wrong, wrongOf } from './claim.ts';
import { isSwingSpeed } from './cost.ts';

/** The settings that the page tries. */
export const DEFLECTION_AXES = {
  speedsDps: Array.from({ length: 79 }, (_, i) => 20 + 10 * i),
  rearmRatios: Array.from({ length: 19 }, (_, i) => (10 + 5 * i) / 100),
} as const;

/** What of a sweep a choice rests on. */
export type DeflectionOutcome = Pick<
  DeflectionSweep,
  'speedsDps' | 'rearmRatios' | 'swings' | 'missed' | 'twice' | 'outside'
>;

export interface DeflectionSuggestion {
  readonly kind: 'suggestion';
  readonly speedDps: number;
  readonly rearmRatio: number;
  readonly plateau: Plateau;
  readonly cell: number;
  readonly region: Uint8Array;
  readonly once: { readonly k: number; readonly n: number; readonly interval: Interval | null };
  readonly missed: Wrong;
  readonly twice: Wrong;
  /** Swings missed or doubled. */
  readonly wrong: Wrong;
  readonly outside: number;
  /** So many more deflections may be wrong within the margins. */
  readonly moreWrong: Rise;
  /** Longest of the takes' medians; null where no swing fires. */
  readonly delayMs: number | null;
}

/**
 * Several takes' sweeps as one: counts add up, of the delays the longest of the takes' medians is kept.
 * @throws RangeError  on no sweep, or sweeps over other settings.
 */
export function sumDeflection(sweeps: readonly DeflectionSweep[]): DeflectionSweep {
  const first = sweeps[0];
  if (!first) throw new RangeError('there is no sweep to sum');
  const out = {
    ...first,
    once: first.once.slice(),
    missed: first.missed.slice(),
    twice: first.twice.slice(),
    outside: first.outside.slice(),
    delayMedianMs: first.delayMedianMs.slice(),
  };
  for (const sweep of sweeps.slice(1)) {
    if (`${sweep.speedsDps} ${sweep.rearmRatios}` !== `${out.speedsDps} ${out.rearmRatios}`)
      throw new RangeError('the sweeps are over different settings');
    out.swings += sweep.swings;
    for (let i = 0; i < out.once.length; ++i) {
      for (const name of ['once', 'missed', 'twice', 'outside'] as const) out[name][i]! += sweep[name][i]!;
      const delayMs = sweep.delayMedianMs[i]!;
      if (!Number.isNaN(delayMs) && !(delayMs <= out.delayMedianMs[i]!)) out.delayMedianMs[i] = delayMs;
    }
  }
  return out;
}

/** So many more wrong deflections, as a part of the swings, make a setting worse: one odd swing in fifty does not. */
export const DEFLECTION_STEP = 0.02;

/**
 * Swings that get no fire or several, and fires outside any swing, alike; counted from the best setting on, in steps of
 * 1 in 50 swings. NaN for a speed below that of the slowest swing: it would fire on a blade that is carried.
 */
export function deflectionCost(outcome: DeflectionOutcome): Float64Array {
  const { speedsDps, rearmRatios, swings } = outcome;
  const wrong = wrongCounts(outcome).map((count, i) =>
    isSwingSpeed(speedsDps[Math.floor(i / rearmRatios.length)]!) ? count : Number.NaN,
  );
  let best = Infinity;
  for (const count of wrong) if (count < best) best = count;
  return wrong.map((count) => Math.floor((count - best) / Math.max(1, DEFLECTION_STEP * swings) + 1e-9));
}

function wrongCounts({ missed, twice, outside }: DeflectionOutcome): Float64Array {
  return Float64Array.from(missed, (count, i) => count + twice[i]! + outside[i]!);
}

/** A re-arm ratio is no better for being low: where several leave as much room, the middle one. */
export function deflectionPlateau(outcome: DeflectionOutcome): Plateau | null {
  const { speedsDps, rearmRatios } = outcome;
  // No ratio is above 1, and none near 0 is allowed: both ends are the setting's own.
  const ends = { x: 'unknown', y: 'limit' } as const;
  return findPlateau([...speedsDps], [...rearmRatios], deflectionCost(outcome), 'middle', ends);
}

/** The most central point of the plateau with about the fewest wrong deflections; null where there is no swing, or no swing's speed. */
export function suggestDeflection(sweep: DeflectionSweep): DeflectionSuggestion | null {
  if (sweep.swings === 0) return null;
  const plateau = deflectionPlateau(sweep);
  if (plateau === null) return null;
  const cell = plateau.xIndex * sweep.rearmRatios.length + plateau.yIndex;
  const k = sweep.once[cell]!;
  const delayMs = sweep.delayMedianMs[cell]!;
  const [missed, twice] = [sweep.missed[cell]!, sweep.twice[cell]!];
  return {
    kind: 'suggestion',
    speedDps: plateau.x,
    rearmRatio: plateau.y,
    plateau,
    cell,
    region: plateau.region,
    once: { k, n: sweep.swings, interval: wilsonInterval(k, sweep.swings) },
    missed: wrongOf(missed, sweep.swings),
    twice: wrongOf(twice, sweep.swings),
    wrong: wrongOf(missed + twice, sweep.swings),
    outside: sweep.outside[cell]!,
    moreWrong: riseWithin(plateau, sweep.rearmRatios.length, wrongCounts(sweep)),
    delayMs: Number.isNaN(delayMs) ? null : delayMs,
  };
}
