import type { Press } from '../base/log.ts';
import { Scratch } from '../base/scratch.ts';
import { type GuardSettings, runGuard } from '../detect/guard.ts';
import { judgePresses } from '../detect/presses.ts';
import type { SmoothingSettings } from '../filter/smoothing.ts';
import { intentOf, type Labels } from '../labels/labels.ts';
import type { RateMotion } from '../motion/motion.ts';
import { computeSpeedSignals, type SpeedSignals } from '../motion/signals.ts';
import { isMore } from './leaveOut.ts';
import { type Rates, ratesUnder, STRESS_NAMES, type StressName } from './stressRates.ts';

/** A press whose verdict the stress turns round. */
export interface Flip {
  readonly takeId: string;
  readonly downUs: number;
  readonly intent: 'wanted' | 'stray';
}

/** The verdicts under one stress: of its variants (each direction of a mount error, say) the worst on this take. */
export interface StressResult {
  readonly name: StressName;
  readonly strayLetThrough: number;
  readonly wantedRefused: number;
  readonly flips: readonly Flip[];
}

export interface StressTake {
  readonly id: string;
  readonly motion: RateMotion;
  readonly presses: readonly Press[];
  readonly labels: Labels;
}

/** Judges a take’s labelled presses again under every stress, with the same setting. */
export function stressTake(
  take: StressTake,
  smoothing: SmoothingSettings,
  guard: GuardSettings,
): StressResult[] {
  const usual = verdictsOn(take, computeSpeedSignals(take.motion, smoothing), guard);
  const underOne = (name: StressName, signals: SpeedSignals): StressResult => {
    const found = verdictsOn(take, signals, guard);
    return { name, ...countWrong(found), flips: flipsOf(take.id, usual, found) };
  };
  return worstUnderEach(take.motion, smoothing, underOne, ({ strayLetThrough, wantedRefused, flips }) => [
    strayLetThrough + wantedRefused,
    flips.length,
  ]);
}

/**
 * What is found under each stress, of its variants the one that does worst.
 * @param find  is given signals that the next variant overwrites.
 * @param badness  what makes a result worse than another, the weightiest first.
 */
export function worstUnderEach<Result>(
  motion: RateMotion,
  smoothing: SmoothingSettings,
  find: (name: StressName, signals: SpeedSignals) => Result,
  badness: (result: Result) => readonly number[],
): Result[] {
  const scratch = new Scratch();
  const signalsOf = (rates: Rates): SpeedSignals =>
    computeSpeedSignals(rates, smoothing, scratch.column('speed', rates.timeUs.length));
  return STRESS_NAMES.map((name) =>
    ratesUnder(name, motion, scratch)
      .map((rates) => find(name, signalsOf(rates())))
      .reduce((worst, result) => (isMore(badness(result), badness(worst)) ? result : worst)),
  );
}

/** Several takes' results as one, stress by stress. */
export function sumStress(results: readonly (readonly StressResult[])[]): StressResult[] {
  return STRESS_NAMES.map((name) => {
    const own = results.flatMap((one) => one.filter((result) => result.name === name));
    return {
      name,
      strayLetThrough: own.reduce((sum, one) => sum + one.strayLetThrough, 0),
      wantedRefused: own.reduce((sum, one) => sum + one.wantedRefused, 0),
      flips: own.flatMap((one) => one.flips),
    };
  });
}

interface Found {
  readonly downUs: number;
  readonly intent: 'wanted' | 'stray';
  readonly accepted: boolean | null;
}

function verdictsOn(take: StressTake, signals: SpeedSignals, guard: GuardSettings): Found[] {
  const verdicts = judgePresses(signals, runGuard(signals, guard), take.presses, guard);
  return verdicts.flatMap(({ press, accepted }): Found[] => {
    const intent = intentOf(take.labels, press)?.intent;
    return intent === 'wanted' || intent === 'stray' ? [{ downUs: press.downUs, intent, accepted }] : [];
  });
}

function countWrong(found: readonly Found[]): { strayLetThrough: number; wantedRefused: number } {
  return {
    strayLetThrough: found.filter(({ intent, accepted }) => intent === 'stray' && accepted === true).length,
    wantedRefused: found.filter(({ intent, accepted }) => intent === 'wanted' && accepted === false).length,
  };
}

function flipsOf(takeId: string, usual: readonly Found[], found: readonly Found[]): Flip[] {
  return usual.flatMap(({ downUs, intent, accepted }, i): Flip[] => {
    const now = found[i]!.accepted;
    return accepted !== null && now !== null && accepted !== now ? [{ takeId, downUs, intent }] : [];
  });
}
