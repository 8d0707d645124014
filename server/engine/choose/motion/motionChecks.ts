import { type GuardSettings, runGuard } from '../../detect/guard.ts';
import type { SmoothingSettings } from '../../filter/smoothing.ts';
import type { RateMotion } from '../../motion/motion.ts';
import { computeSpeedSignals, type SpeedSignals } from '../../motion/signals.ts';
import { type Border, type LostPress, lostBeyond } from '../borders.ts';
import { type Flip, type StressResult, worstUnderEach } from '../stress.ts';
import type { ChoiceTake } from '../takeSweep.ts';
import { judgeSpins, judgeStops } from './motionScore.ts';
import { type MotionUnits, motionUnits } from './motionUnits.ts';

/**
 * What goes wrong in a take by motion alone, in the shapes that presses have: a spin stands for a stray press, a stop for
 * a wanted one, and each for the moment at which it begins.
 */
type Wrongs = ReadonlyMap<number, 'wanted' | 'stray'>;

/** The spins that are open too long with a setting, and the stops after which it is late. */
export function wrongUnits(take: ChoiceTake, settings: GuardSettings, patienceMs: number): Wrongs {
  return wrongOn(take.signals, unitsOf(take), settings, patienceMs);
}

/** The spins and stops of a take that a step over each border loses. */
export function lostUnits(
  take: ChoiceTake,
  suggested: GuardSettings,
  borders: readonly Border[],
  patienceMs: number,
): LostPress[] {
  const units = unitsOf(take);
  return lostBeyond(take, suggested, borders, (settings) =>
    wrongOn(take.signals, units, settings, patienceMs),
  );
}

/** Judges a take's spins and stops again under every stress, with the same setting. */
export function stressUnits(
  take: ChoiceTake & { readonly motion: RateMotion },
  smoothing: SmoothingSettings,
  guard: GuardSettings,
  patienceMs: number,
): StressResult[] {
  const units = unitsOf(take);
  const usual = wrongOn(computeSpeedSignals(take.motion, smoothing), units, guard, patienceMs);
  return worstUnderEach(
    take.motion,
    smoothing,
    (name, signals): StressResult => {
      const found = wrongOn(signals, units, guard, patienceMs);
      const count = (kind: 'wanted' | 'stray') => [...found.values()].filter((one) => one === kind).length;
      const flips = flipsOf(take.id, usual, found);
      return { name, strayLetThrough: count('stray'), wantedRefused: count('wanted'), flips };
    },
    ({ strayLetThrough, wantedRefused, flips }) => [strayLetThrough + wantedRefused, flips.length],
  );
}

function unitsOf({ truth, labels, signals }: ChoiceTake): MotionUnits {
  return motionUnits(truth, labels, signals);
}

function wrongOn(
  signals: SpeedSignals,
  units: MotionUnits,
  settings: GuardSettings,
  patienceMs: number,
): Map<number, 'wanted' | 'stray'> {
  const closed = runGuard(signals, settings);
  const wrong = new Map<number, 'wanted' | 'stray'>();
  // By the spin itself: at another rate its first sample lies at another moment.
  for (const spin of units.spins)
    if (judgeSpins(signals, closed, [spin])[0]?.isOpen) wrong.set(spin.startUs, 'stray');
  for (const { stopUs, isLate } of judgeStops(signals, closed, units.stopsUs, patienceMs))
    if (isLate) wrong.set(stopUs, 'wanted');
  return wrong;
}

function flipsOf(takeId: string, usual: Wrongs, found: Wrongs): Flip[] {
  const one = (wrong: Wrongs, other: Wrongs): Flip[] =>
    [...wrong]
      .filter(([startUs]) => !other.has(startUs))
      .map(([downUs, intent]) => ({ takeId, downUs, intent }));
  return [...one(usual, found), ...one(found, usual)];
}
