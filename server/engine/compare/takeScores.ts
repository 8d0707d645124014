import type { Press } from '../base/log.ts';
import { runDeflection } from '../detect/deflection.ts';
import { gestureDetector, ofEachGesture } from '../detect/detectors.ts';
import { runGuard } from '../detect/guard.ts';
import { judgePresses, type PressVerdict } from '../detect/presses.ts';
import { runTwistDial } from '../detect/twistDial.ts';
import { intentOf, type LabelBy, type Labels } from '../labels/labels.ts';
import type { Signals, SpeedSignals } from '../motion/signals.ts';
import { type DeflectionScore, scoreDeflection } from '../score/deflectionScore.ts';
import { type DialScore, NO_DIAL, scoreDial } from '../score/dialScore.ts';
import { type GestureScores, NO_GESTURES, scoreGesture, tellsOfGestures } from '../score/gestureScore.ts';
import { type GuardScore, scoreGuard } from '../score/guardScore.ts';
import type { Candidate } from '../settings/candidate.ts';
import type { Truth } from '../truth/truth.ts';

/** All scores of one candidate on one take; nothing in it is as long as the take. */
export interface TakeScores {
  readonly guard: GuardScore;
  /** null where nobody knows when the deflection's button was held. */
  readonly deflection: DeflectionScore | null;
  readonly gestures: GestureScores;
  readonly dial: DialScore;
  /** Presses that are labelled wanted or stray and could be judged. */
  readonly presses: readonly PressOutcome[];
}

export interface PressOutcome {
  readonly downUs: number;
  readonly intent: 'wanted' | 'stray';
  readonly by: LabelBy;
  /** A wanted press accepted, or a stray one refused. */
  readonly isRight: boolean;
}

/**
 * The same scores as `evaluate` gives.
 * @param signals  computed with the same candidate.
 * @param presses  of the button that the guard judges.
 */
export function scoreTake(
  signals: Signals,
  presses: readonly Press[],
  labels: Labels,
  candidate: Candidate,
  truth: Truth,
): TakeScores {
  return {
    ...scoreTakeBySpeed(signals, presses, labels, candidate, truth),
    gestures: tellsOfGestures(labels)
      ? ofEachGesture((id) =>
          scoreGesture(id, signals, gestureDetector(id).run(signals, candidate), labels, candidate),
        )
      : NO_GESTURES,
    dial: scoreDial(signals.timeUs, runTwistDial(signals, candidate.twist), labels),
  };
}

/**
 * The same scores for a take whose labels tell nothing of gestures or the dial (`tellsOfDial`): their detectors are not
 * run.
 */
export function scoreTakeBySpeed(
  signals: SpeedSignals,
  presses: readonly Press[],
  labels: Labels,
  candidate: Candidate,
  truth: Truth,
): TakeScores {
  const { swings, spinning } = truth;
  const closed = runGuard(signals, candidate.guard);
  const verdicts = judgePresses(signals, closed, presses, candidate.guard);
  const fires = runDeflection(signals, candidate.deflection);
  return {
    guard: scoreGuard({ signals, closed, verdicts, labels, spinning, settings: candidate.guard }),
    deflection: scoreDeflection({ signals, fires, swings, settings: candidate.deflection }),
    gestures: NO_GESTURES,
    dial: NO_DIAL,
    presses: pressOutcomes(verdicts, labels),
  };
}

/** Verdicts on the presses that are labelled wanted or stray and could be judged. */
export function pressOutcomes(verdicts: readonly PressVerdict[], labels: Labels): PressOutcome[] {
  const outcomes: PressOutcome[] = [];
  for (const { press, accepted } of verdicts) {
    const label = intentOf(labels, press);
    if (label === null || label.intent === 'unsure' || accepted === null) continue;
    const { intent, by } = label;
    outcomes.push({ downUs: press.downUs, intent, by, isRight: accepted === (intent === 'wanted') });
  }
  return outcomes;
}
