import type { Calibration } from '../../server/engine/calibration.ts';
import type { Candidate, SmoothingSettings } from '../../server/engine/candidate.ts';
import { evidenceOf } from '../../server/engine/choose/evidence.ts';
import { computeRateMotion, speedSignals } from '../../server/engine/choose/rateMotion.ts';
import { type GuardGrid, sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { scoreTake, type TakeScores } from '../../server/engine/compare/takeScores.ts';
import type { Press, Segment, UniformLog } from '../../server/engine/log.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals, type Signals } from '../../server/engine/motion/signals.ts';
import { type TakeStock, takeStock } from '../../server/engine/plan/takeStock.ts';
import type { Labels } from '../../server/engine/truth/labels.ts';
import { findTruth, type Truth } from '../../server/engine/truth/truth.ts';

/** A take as it is compared. `presses` are all of the log's, `powerPresses` those that the guard judges. */
export interface ComparedInput {
  readonly takeId: string;
  readonly calibration: Calibration;
  readonly presses: readonly Press[];
  readonly powerPresses: readonly Press[];
  readonly labels: Labels;
}

export interface CompareRequest extends ComparedInput {
  readonly kind: 'compare';
  readonly wantsFacts: boolean;
  readonly candidates: readonly Candidate[];
}

/** What no candidate changes. */
export interface TakeFacts {
  /** Of all swings, rising. */
  readonly peaksDps: Float64Array;
  /** Swings whose peak is clipped: it was higher. */
  readonly clippedPeaks: number;
  /** Swings that the program proposed and nobody confirmed. */
  readonly proposedSwings: number;
  readonly areSpinsProposed: boolean;
  readonly stock: TakeStock;
  /** A sentence if nothing can be tuned on this take. */
  readonly unfit: string | null;
}

export interface CompareReply {
  readonly facts: TakeFacts | null;
  /** In the order of the candidates asked for. */
  readonly scores: readonly TakeScores[];
}

/** Scores of candidates on one take. Nothing of the take itself is in the reply. */
export function compareTake(log: UniformLog, request: CompareRequest): CompareReply {
  const { calibration, presses, powerPresses, labels, candidates } = request;
  const motion = computeMotion(log, calibration);
  const truth = findTruth(motion, labels);
  const signalsOf = signalsByKey((candidate) => computeSignals(motion, candidate, calibration, presses));
  const scores = candidates.map((candidate) =>
    scoreTake(signalsOf(candidate), powerPresses, labels, candidate, truth),
  );
  if (!request.wantsFacts) return { facts: null, scores };
  const signals = speedSignals(motion, { kind: 'none', order: 2, cutoffHz: 25 });
  const stock = takeStock(motion, truth, labels, powerPresses);
  return { facts: factsOf(request, signals, truth, stock), scores };
}

export interface SweepRequest extends ComparedInput {
  readonly kind: 'sweepTake';
  readonly candidate: Candidate;
}

/** The guard's scores over the grid that settings are chosen on; smoothing, release ratio and moment as the candidate's. */
export function sweepOneTake(log: UniformLog, request: SweepRequest): GuardGrid {
  const { takeId, calibration, powerPresses, labels, candidate } = request;
  const motion = computeRateMotion(log, calibration);
  const signals = speedSignals(motion, candidate.smoothing);
  const truth = findTruth(motion, labels);
  const names = { id: takeId, title: '', performer: '' };
  return sweepTake({ ...names, signals, presses: powerPresses, labels, truth }, candidate.guard);
}

export interface SpeedRequest {
  readonly kind: 'speed';
  readonly takeId: string;
  readonly calibration: Calibration;
  readonly smoothing: SmoothingSettings;
}

/** A take's swing speed alone, to be drawn. */
export interface SpeedTrace {
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
  readonly swingSpeedDps: Float64Array;
}

export function speedTrace(log: UniformLog, { calibration, smoothing }: SpeedRequest): SpeedTrace {
  const { segments, swingSpeedDps } = speedSignals(computeRateMotion(log, calibration), smoothing);
  // A copy: the log's own column may be kept for later.
  return { timeUs: log.timeUs.slice(), segments, swingSpeedDps };
}

/** Candidates that smooth alike share their signals. */
function signalsByKey(compute: (candidate: Candidate) => Signals): (candidate: Candidate) => Signals {
  const made = new Map<string, Signals>();
  return (candidate) => {
    const { smoothing, impact, twist } = candidate;
    const key = JSON.stringify([smoothing, impact.highPassHz, twist.startAt]);
    const signals = made.get(key) ?? compute(candidate);
    made.set(key, signals);
    return signals;
  };
}

function factsOf(request: CompareRequest, signals: Signals, truth: Truth, stock: TakeStock): TakeFacts {
  const { takeId, powerPresses, labels } = request;
  const { swings } = truth;
  const take = { id: takeId, title: '', performer: '', signals, presses: powerPresses, labels, truth };
  const guard = { speedDps: 240, holdMs: 0, releaseRatio: 1, decideAt: 'press' } as const;
  return {
    peaksDps: Float64Array.from(
      swings.filter((swing) => !Number.isNaN(swing.peakDps)),
      (swing) => swing.peakDps,
    ).sort(),
    clippedPeaks: swings.filter((swing) => swing.saturated).length,
    proposedSwings: swings.filter((swing) => swing.by === 'program').length,
    areSpinsProposed: !labels.spans.some((span) => span.kind === 'spinning' && span.by !== 'program'),
    stock,
    unfit: evidenceOf(take, guard).unfit,
  };
}
