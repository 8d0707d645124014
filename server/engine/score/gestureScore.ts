import type { Segment, Span } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import { isSimulated } from '../labels/confirmedGestures.ts';
import { type GestureKind, type GestureLabel, type Labels, settleGestures } from '../labels/labels.ts';
import type { Signals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import { type Spread, spreadOf } from '../statistics/sorted.ts';
import { type Count, Tally } from './count.ts';
import { matchWindows } from './match.ts';
import type { MatchWindow } from './matchWindow.ts';

/** How one detector did on the labelled gestures of its kind: a stab on thrusts, an impact on hits, a trigger on twists. */
export interface GestureScore {
  /** Labelled gestures at which it fired. */
  readonly hit: Count;
  readonly missed: Count;
  /** Of the missed, those at which the signal never reaches the candidate's level: no other setting can bring them back. */
  readonly belowLevel: number;
  /** Fires beyond the first of a gesture. */
  readonly again: number;
  /**
   * Fires that belong to no gesture; null where none of the kind is labelled: then nobody has said that they are false.
   * A simulation labels all that it does: where it labelled anything, what it did not label is not there.
   */
  readonly falseFires: number | null;
  readonly fires: number;
  /** From the gesture's start to the fire. */
  readonly delayMs: Spread | null;
}

export type GestureScores = Readonly<Record<GestureKind, GestureScore>>;

/** Labels are drawn by eye: a fire belongs to a gesture from so long before its start */
export const EARLY_FIRE_MS = 50;
/** to so long after its end. A stab fires at the blow that ends the thrust. */
export const LATE_FIRE_MS = 150;

/** @param args  `stabs`, `impacts` and `twists` as the candidate's detectors gave them on these signals. */
export function scoreGestures(args: {
  readonly signals: Signals;
  readonly stabs: Int32Array;
  readonly impacts: Int32Array;
  readonly twists: Int32Array;
  readonly labels: Labels;
  readonly candidate: Pick<Candidate, 'stab' | 'impact' | 'twist'>;
}): GestureScores {
  const { signals, labels, candidate } = args;
  const score = (kind: GestureKind, fires: Int32Array, reaches: (at: Segment) => boolean) =>
    scoreKind(signals, fires, settleGestures(labels, kind), reaches, isSimulated(labels));
  return {
    thrust: score('thrust', args.stabs, (at) => reachesThrust(signals, at, candidate)),
    hit: score('hit', args.impacts, (at) => reachesImpact(signals, at, candidate)),
    twist: score('twist', args.twists, (at) => turnDeg(signals, at) >= candidate.twist.angleDeg),
  };
}

function scoreKind(
  signals: Signals,
  fires: Int32Array,
  gestures: readonly GestureLabel[],
  reaches: (at: Segment) => boolean,
  isComplete: boolean,
): GestureScore {
  const fireUs = Float64Array.from(fires, (index) => signals.timeUs[index]!);
  const windows = matchWindowsOf(gestures);
  const detOf = new Map(matchWindows(windows, fireUs).map(({ ref, det }) => [ref, det]));
  const [hit, missed] = [new Tally(), new Tally()];
  const delaysMs: number[] = [];
  let belowLevel = 0;
  gestures.forEach((gesture, i) => {
    const det = detOf.get(i);
    hit.add(det !== undefined, gesture.by);
    missed.add(det === undefined, gesture.by);
    if (det !== undefined) delaysMs.push((fireUs[det]! - gesture.startUs) / 1000);
    else if (!sampleRanges(signals.timeUs, [windowOf(gesture)]).some(reaches)) ++belowLevel;
  });
  const inside = fireUs.filter((us) => windows.some(({ fromUs, toUs }) => fromUs <= us && us <= toUs)).length;
  return {
    hit: hit.count(),
    missed: missed.count(),
    belowLevel,
    again: inside - detOf.size,
    falseFires: gestures.length === 0 && !isComplete ? null : fires.length - inside,
    fires: fires.length,
    delayMs: spreadOf(delaysMs),
  };
}

/** Whether labels say anything of gestures: where they do not, there is nothing to score, and no need of thrust, impact and twist. */
export function tellsOfGestures(labels: Labels): boolean {
  return (labels.gestures ?? []).length > 0 || isSimulated(labels);
}

/** The scores of labels that tell nothing of gestures, whatever fires. */
export const NO_GESTURES: GestureScores = { thrust: nothing(), hit: nothing(), twist: nothing() };

function nothing(): GestureScore {
  const none = new Tally().count();
  return { hit: none, missed: none, belowLevel: 0, again: 0, falseFires: null, fires: 0, delayMs: null };
}

/** The stretch in which a fire belongs to a gesture, both ends included. */
export function windowOf({ startUs, endUs }: Span): Span {
  return { startUs: startUs - EARLY_FIRE_MS * 1000, endUs: endUs + LATE_FIRE_MS * 1000 };
}

/** What fires are matched with, gesture by gesture: its window, and the end that a fire is nearest to. */
export function matchWindowsOf(gestures: readonly GestureLabel[]): MatchWindow[] {
  return gestures.map((gesture) => {
    const { startUs, endUs } = windowOf(gesture);
    return { fromUs: startUs, toUs: endUs, atUs: gesture.endUs };
  });
}

function reachesThrust(
  { thrustG }: Signals,
  { start, end }: Segment,
  { stab }: Pick<Candidate, 'stab'>,
): boolean {
  for (let i = start; i < end; ++i) if (thrustG[i]! >= stab.thrustG) return true;
  return false;
}

function reachesImpact(
  signals: Signals,
  { start, end }: Segment,
  { impact }: Pick<Candidate, 'impact'>,
): boolean {
  const { impactG, swingSpeedDps } = signals;
  for (let i = start; i < end; ++i) {
    if (impactG[i]! >= impact.impactG + (impact.allowanceGPer100Dps / 100) * swingSpeedDps[i]!) return true;
  }
  return false;
}

/** How far the blade is turned from its lowest to its highest angle, without regard to where the angle counts from. */
export function turnDeg({ twistRateDps, rateHz }: Signals, { start, end }: Segment): number {
  let [angle, low, high] = [0, 0, 0];
  for (let i = start; i < end; ++i) {
    if (Number.isNaN(twistRateDps[i]!)) continue;
    angle += twistRateDps[i]! / rateHz;
    low = Math.min(low, angle);
    high = Math.max(high, angle);
  }
  return high - low;
}
