import type { Candidate } from '../candidate.ts';
import { evaluate } from '../evaluate.ts';
import type { Press } from '../log.ts';
import type { Signals } from '../motion/signals.ts';
import type { DeflectionScore } from '../score/deflectionScore.ts';
import type { GestureScores } from '../score/gestureScore.ts';
import type { GuardScore } from '../score/guardScore.ts';
import { intentOf, type LabelBy, type Labels } from '../truth/labels.ts';
import type { Truth } from '../truth/truth.ts';

/** What one candidate does on one take: all scores, and no column as long as the take. */
export interface TakeScores {
  readonly guard: GuardScore;
  readonly deflection: DeflectionScore;
  readonly gestures: GestureScores;
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

/** @param presses  of the button that the guard judges. @param signals  computed with the same candidate. */
export function scoreTake(
  signals: Signals,
  presses: readonly Press[],
  labels: Labels,
  candidate: Candidate,
  truth: Truth,
): TakeScores {
  const { guardScore, deflectionScore, gestureScores, verdicts } = evaluate(
    signals,
    presses,
    labels,
    candidate,
    truth,
  );
  const outcomes: PressOutcome[] = [];
  for (const { press, accepted } of verdicts) {
    const label = intentOf(labels, press);
    if (label === null || label.intent === 'unsure' || accepted === null) continue;
    const { intent, by } = label;
    outcomes.push({ downUs: press.downUs, intent, by, isRight: accepted === (intent === 'wanted') });
  }
  return { guard: guardScore, deflection: deflectionScore, gestures: gestureScores, presses: outcomes };
}
