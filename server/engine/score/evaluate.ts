import type { Press, Span } from '../base/log.ts';
import { runDeflection } from '../detect/deflection.ts';
import { closedSpans, runGuard } from '../detect/guard.ts';
import { runImpact } from '../detect/impact.ts';
import { judgePresses, type PressVerdict } from '../detect/presses.ts';
import { runStab } from '../detect/stab.ts';
import { type DialSteps, runTwistDial } from '../detect/twistDial.ts';
import { runTwistTrigger } from '../detect/twistTrigger.ts';
import type { Labels } from '../labels/labels.ts';
import type { Motion } from '../motion/motion.ts';
import type { Signals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import { findTruth, type Truth } from '../truth/truth.ts';
import { type DeflectionScore, scoreDeflection } from './deflectionScore.ts';
import { type DialScore, scoreDial } from './dialScore.ts';
import { type GestureScores, scoreGestures } from './gestureScore.ts';
import { type GuardScore, scoreGuard } from './guardScore.ts';

/** What a prop with one candidate would have done over a take, and how good that is. Arrays hold sample indices. */
export interface Evaluation {
  readonly signals: Signals;
  readonly candidate: Candidate;
  readonly truth: Truth;
  readonly closed: Uint8Array;
  readonly closedSpans: readonly Span[];
  readonly verdicts: readonly PressVerdict[];
  readonly deflections: Int32Array;
  readonly impacts: Int32Array;
  readonly stabs: Int32Array;
  readonly twists: Int32Array;
  readonly dialSteps: readonly DialSteps[];
  readonly guardScore: GuardScore;
  readonly deflectionScore: DeflectionScore;
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
  const impacts = runImpact(signals, candidate.impact);
  const stabs = runStab(signals, candidate.stab, candidate.impact);
  const twists = runTwistTrigger(signals, candidate.twist);
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
    impacts,
    stabs,
    twists,
    dialSteps,
    guardScore: scoreGuard({ signals, closed, verdicts, labels, spinning, settings: candidate.guard }),
    deflectionScore: scoreDeflection({ signals, fires: deflections, swings }),
    gestureScores: scoreGestures({ signals, stabs, impacts, twists, labels, candidate }),
    dialScore: scoreDial(signals.timeUs, dialSteps, labels),
  };
}
