import type { Press, Span } from '../base/log.ts';
import { runDeflection } from '../detect/deflection.ts';
import { type GestureDetectorId, gestureDetector, ofEachGesture } from '../detect/detectors.ts';
import { closedSpans, runGuard } from '../detect/guard.ts';
import { judgePresses, type PressVerdict } from '../detect/presses.ts';
import { type DialSteps, runTwistDial } from '../detect/twistDial.ts';
import type { Labels } from '../labels/labels.ts';
import type { Motion } from '../motion/motion.ts';
import type { Signals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import { findTruth, type Truth } from '../truth/truth.ts';
import { type DeflectionScore, scoreDeflection } from './deflectionScore.ts';
import { type DialScore, scoreDial } from './dialScore.ts';
import { type GestureScores, scoreGesture } from './gestureScore.ts';
import { type GuardScore, scoreGuard } from './guardScore.ts';

export type GestureFires = Readonly<Record<GestureDetectorId, Int32Array>>;

/** What a prop with one candidate would have done over a take, and how good that is. Arrays hold sample indices. */
export interface Evaluation {
  readonly signals: Signals;
  readonly candidate: Candidate;
  readonly truth: Truth;
  readonly closed: Uint8Array;
  readonly closedSpans: readonly Span[];
  readonly verdicts: readonly PressVerdict[];
  /** null where nobody knows when the deflection's button was held; so is its score. */
  readonly deflections: Int32Array | null;
  /** Fires of each detector of gestures. */
  readonly fires: GestureFires;
  readonly dialSteps: readonly DialSteps[];
  readonly guardScore: GuardScore;
  readonly deflectionScore: DeflectionScore | null;
  readonly gestureScores: GestureScores;
  readonly dialScore: DialScore;
}

/**
 * @param signals  computed with the same candidate.
 * @param presses  of the power button alone.
 * @param motion  the take's motion, or the truth found from it and the labels before.
 */
export function evaluate(
  signals: Signals,
  presses: readonly Press[],
  labels: Labels,
  candidate: Candidate,
  motion: Motion | Truth,
): Evaluation {
  const truth = 'swings' in motion ? motion : findTruth(motion, labels);
  const closed = runGuard(signals, candidate.guard);
  const verdicts = judgePresses(signals, closed, presses, candidate.guard);
  const deflections = runDeflection(signals, candidate.deflection);
  const fires = ofEachGesture((id) => gestureDetector(id).run(signals, candidate));
  const dialSteps = runTwistDial(signals, candidate.twist);
  const { swings, spinning } = truth;
  return {
    signals,
    candidate,
    truth,
    closed,
    closedSpans: closedSpans(signals, closed),
    verdicts,
    deflections,
    fires,
    dialSteps,
    guardScore: scoreGuard({ signals, closed, verdicts, labels, spinning, settings: candidate.guard }),
    deflectionScore: scoreDeflection({
      signals,
      fires: deflections,
      swings,
      settings: candidate.deflection,
    }),
    gestureScores: ofEachGesture((id) => scoreGesture(id, signals, fires[id], labels, candidate)),
    dialScore: scoreDial(signals.timeUs, dialSteps, labels),
  };
}
