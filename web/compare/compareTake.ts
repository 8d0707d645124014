import type { Press } from '../../server/engine/base/log.ts';
import { evidenceOf, type TakeEvidence } from '../../server/engine/choose/evidence.ts';
import { type GuardGrid, sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { swingless, type Unfit } from '../../server/engine/choose/unfit.ts';
import { scoreTake, scoreTakeBySpeed, type TakeScores } from '../../server/engine/compare/takeScores.ts';
import { runGuard } from '../../server/engine/detect/guard.ts';
import { judgePresses } from '../../server/engine/detect/presses.ts';
import type { SmoothingSettings } from '../../server/engine/filter/smoothing.ts';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import { labelDoubts } from '../../server/engine/labels/labelDoubts.ts';
import { areSpinsGiven, type Labels } from '../../server/engine/labels/labels.ts';
import type { Motion, RateMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals, type SpeedSignals } from '../../server/engine/motion/signals.ts';
import {
  type PressStock,
  pressStock,
  type TakeStock,
  takeStock,
} from '../../server/engine/plan/takeStock.ts';
import { tellsOfDial } from '../../server/engine/score/dialScore.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { findTruth, type Truth } from '../../server/engine/truth/truth.ts';
import { doubtTexts } from '../../server/engine/words/labels.ts';

export interface CompareWants {
  readonly takeId: string;
  /** With the labels. */
  readonly content: TakeContent;
  /** All of the log's, and those that the guard judges. */
  readonly presses: readonly Press[];
  readonly powerPresses: readonly Press[];
  /** Of the button that deflections may wait for; null where there is none. */
  readonly deflectionPresses: readonly Press[] | null;
  readonly labels: Labels;
  readonly wantsFacts: boolean;
  /** Needs the whole motion, which takes five times as long. */
  readonly wantsStock: boolean;
  readonly candidates: readonly Candidate[];
  /** Whose smoothing and guard the grid is to have, but for the two settings that it goes over; null for none. */
  readonly sweepAs: Candidate | null;
}

/** The facts of a take that do not depend on a candidate. */
export interface TakeFacts {
  /** Peak speeds of all swings, rising. */
  readonly peaksDps: Float64Array;
  /** Swings whose peak is clipped: it was higher. */
  readonly clippedPeaks: number;
  /** Swings that the program proposed and nobody confirmed. */
  readonly proposedSwings: number;
  /** Spins, if the program proposed them and nobody confirmed one. */
  readonly proposedSpins: number;
  readonly presses: PressStock;
  /** Contradictions of its labels, a sentence each. */
  readonly doubts: readonly string[];
  /** Where it holds no swing to choose by. */
  readonly swingless: Unfit | null;
}

/** Basis for choosing a setting: the guard's scores over all settings, and how much they rest on. */
export interface Swept {
  readonly grid: GuardGrid;
  readonly evidence: TakeEvidence;
}

export interface CompareReply {
  readonly facts: TakeFacts | null;
  readonly stock: TakeStock | null;
  /** In the order of the candidates asked for. */
  readonly scores: readonly TakeScores[];
  readonly swept: Swept | null;
}

/** A take as a comparison needs it. */
export interface ComparedMotion {
  readonly motion: RateMotion;
  /** Where it is needed. */
  readonly whole: Motion | null;
  speedOf(smoothing: SmoothingSettings): SpeedSignals;
}

/** Whether what is wanted takes the whole motion. */
export function needsForce({ wantsStock, candidates, labels }: CompareWants): boolean {
  return wantsStock || (candidates.length > 0 && tellsOfDial(labels));
}

/** The answer for one take. Nothing in it is as long as the take. */
export function compareTake(take: ComparedMotion, request: CompareWants): CompareReply {
  const { labels, powerPresses, candidates, sweepAs } = request;
  const { motion, whole } = take;
  const truth = findTruth(motion, labels);
  const speedOf = shared(
    ({ smoothing }) => smoothing,
    ({ smoothing }) => take.speedOf(smoothing),
  );
  const signalsOf =
    whole &&
    tellsOfDial(labels) &&
    shared(
      ({ smoothing, impact, twist }) => [smoothing, impact.highPassHz, twist.startAt],
      (candidate) => computeSignals(whole, candidate, request.presses, request.deflectionPresses),
    );
  return {
    facts: request.wantsFacts ? factsOf(request, motion, truth) : null,
    stock: whole && request.wantsStock ? takeStock(whole, truth, labels, powerPresses) : null,
    scores: candidates.map((candidate) =>
      signalsOf
        ? scoreTake(signalsOf(candidate), powerPresses, labels, candidate, truth)
        : scoreTakeBySpeed(speedOf(candidate), powerPresses, labels, candidate, truth),
    ),
    swept: sweepAs && sweptAs(request, speedOf(sweepAs), truth, sweepAs),
  };
}

/** Presses as a guard decides them: all that it takes is the swing speed. */
export function judgeTake(
  signals: SpeedSignals,
  { guard }: Pick<Candidate, 'guard'>,
  presses: readonly Press[],
): ReturnType<typeof judgePresses> {
  return judgePresses(signals, runGuard(signals, guard), presses, guard);
}

/** Signals are made once for all candidates of one key. */
function shared<S>(keyOf: (candidate: Candidate) => unknown, make: (candidate: Candidate) => S) {
  const made = new Map<string, S>();
  return (candidate: Candidate): S => {
    const key = JSON.stringify(keyOf(candidate));
    const signals = made.get(key) ?? make(candidate);
    made.set(key, signals);
    return signals;
  };
}

function sweptAs(
  { takeId, powerPresses, labels }: CompareWants,
  signals: SpeedSignals,
  truth: Truth,
  { guard }: Candidate,
): Swept {
  // Whether it is fit is judged elsewhere, once for all views.
  const names = { id: takeId, title: '', performer: '', unfit: null };
  const take = { ...names, signals, presses: powerPresses, labels, truth };
  return { grid: sweepTake(take, guard), evidence: evidenceOf(take, guard) };
}

function factsOf(request: CompareWants, motion: RateMotion, truth: Truth): TakeFacts {
  const { powerPresses, labels } = request;
  const { swings, spinning } = truth;
  return {
    peaksDps: Float64Array.from(
      swings.filter((swing) => !Number.isNaN(swing.peakDps)),
      (swing) => swing.peakDps,
    ).sort(),
    clippedPeaks: swings.filter((swing) => swing.saturated).length,
    proposedSwings: swings.filter((swing) => swing.by === 'program').length,
    proposedSpins: areSpinsGiven(labels) ? 0 : spinning.length,
    presses: pressStock(truth, labels, powerPresses),
    doubts: doubtTexts(labelDoubts(labels)),
    swingless: swingless({ swingSpeedDps: motion.trueSpeedDps }),
  };
}
