import type { Segment, Span } from '../base/log.ts';
import { sampleRanges } from '../base/sampleRanges.ts';
import {
  type GestureDetectorId,
  type GestureSettings,
  gestureDetector,
  ofEachGesture,
} from '../detect/detectors.ts';
import { isSimulated } from '../labels/confirmedGestures.ts';
import { type GestureLabel, type Labels, settleGestures } from '../labels/labels.ts';
import type { Signals } from '../motion/signals.ts';
import { type Spread, spreadOf } from '../statistics/sorted.ts';
import { matchWindows } from './match.ts';
import type { MatchWindow } from './matchWindow.ts';
import { type Proportion, Tally } from './proportion.ts';

/** How one detector did on the labelled gestures of its kind: a stab on thrusts, an impact on hits, a trigger on twists. */
export interface GestureScore {
  /** Labelled gestures at which it fired. */
  readonly hit: Proportion;
  readonly missed: Proportion;
  /** Missed gestures at which the signal never reaches the candidate's level: no other setting can catch them. */
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

export type GestureScores = Readonly<Record<GestureDetectorId, GestureScore>>;

/** Labels are drawn by eye: a fire belongs to a gesture from so long before its start */
const EARLY_FIRE_MS = 50;
/**
 * to so long after its end. A stab fires at the blow that ends the thrust, up to `stab.windowMs` (120 ms) after the push;
 * a fire of the deflection has no such blow to wait for, so `LATE_FIRE_MS` of swings is less.
 */
const LATE_GESTURE_FIRE_MS = 150;

/** @param fires  as the detector gave them on these signals with these settings. */
export function scoreGesture(
  id: GestureDetectorId,
  signals: Signals,
  fires: Int32Array,
  labels: Labels,
  settings: GestureSettings,
): GestureScore {
  const { gesture, level } = gestureDetector(id);
  const reaches = (at: Segment): boolean => {
    const { reached, asked } = level(signals, at, settings);
    return reached >= asked;
  };
  return scoreKind(signals, fires, settleGestures(labels, gesture), reaches, isSimulated(labels));
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
    hit: hit.proportion(),
    missed: missed.proportion(),
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
export const NO_GESTURES: GestureScores = ofEachGesture(() => {
  const none = new Tally().proportion();
  return { hit: none, missed: none, belowLevel: 0, again: 0, falseFires: null, fires: 0, delayMs: null };
});

/** The stretch in which a fire belongs to a gesture, both ends included. */
export function windowOf({ startUs, endUs }: Span): Span {
  return { startUs: startUs - EARLY_FIRE_MS * 1000, endUs: endUs + LATE_GESTURE_FIRE_MS * 1000 };
}

/** What fires are matched with, gesture by gesture: its window, and the end that a fire is nearest to. */
export function matchWindowsOf(gestures: readonly GestureLabel[]): MatchWindow[] {
  return gestures.map((gesture) => {
    const { startUs, endUs } = windowOf(gesture);
    return { fromUs: startUs, toUs: endUs, atUs: gesture.endUs };
  });
}
