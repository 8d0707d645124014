import { GESTURE_DETECTOR_IDS, type GestureDetectorId, gestureDetector } from '../detect/detectors.ts';
import type { PressVerdict } from '../detect/presses.ts';
import { isSimulated } from '../labels/confirmedGestures.ts';
import { intentOf, type Labels, settleGestures } from '../labels/labels.ts';
import { FireAssignment } from '../score/fireAssignment.ts';
import { matchWindowsOf } from '../score/gestureScore.ts';
import { matchWindows } from '../score/match.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';

/** What a candidate gets wrong, each as the scores count it. */
export type Wrong =
  | { readonly kind: 'strayLetThrough' | 'wantedRefused'; readonly pressIndex: number }
  | { readonly kind: 'swingMissed' | 'swingTwice' | 'deflectionOutside' }
  | { readonly kind: 'gestureMissed' | 'gestureAgain' | 'gestureOutside'; readonly id: GestureDetectorId };

export type WrongKind = Wrong['kind'];
export type WrongMoment = Wrong & { readonly timeUs: number };

export interface WrongInput {
  readonly timeUs: Float64Array;
  readonly verdicts: readonly PressVerdict[];
  /** Sample indices. */
  readonly deflections: Int32Array;
  readonly fires: Readonly<Record<GestureDetectorId, Int32Array>>;
  readonly labels: Labels;
  /** In the order of their peaks. */
  readonly swings: readonly Swing[];
  readonly missedSwings: readonly Swing[];
  readonly twiceUs: readonly number[];
}

/** The moments to look at, in time order. */
export function wrongMoments(input: WrongInput): WrongMoment[] {
  const moments = [
    ...wrongPresses(input),
    ...input.missedSwings.map(({ peakUs }) => ({ kind: 'swingMissed' as const, timeUs: peakUs })),
    ...input.twiceUs.map((timeUs) => ({ kind: 'swingTwice' as const, timeUs })),
    ...outsideSwings(input).map((timeUs) => ({ kind: 'deflectionOutside' as const, timeUs })),
    ...GESTURE_DETECTOR_IDS.flatMap((id) => wrongGestures(id, input)),
  ];
  return moments.sort((a, b) => a.timeUs - b.timeUs);
}

/**
 * The next moment behind one, or the one before it; null where there is none. Moments within a sample of the present one
 * are here already.
 * @param momentsUs  in time order.
 */
export function nextMoment(
  momentsUs: readonly number[],
  fromUs: number,
  by: 1 | -1,
  sampleUs: number,
): number | null {
  const isFar = (us: number): boolean => by * (us - fromUs) >= sampleUs;
  const found = by > 0 ? momentsUs.find(isFar) : momentsUs.findLast(isFar);
  return found ?? null;
}

function wrongPresses({ verdicts, labels }: WrongInput): WrongMoment[] {
  return verdicts.flatMap(({ press, pressIndex, decidedUs, accepted }): WrongMoment[] => {
    const intent = intentOf(labels, press)?.intent;
    const timeUs = decidedUs ?? press.downUs;
    if (intent === 'stray' && accepted === true) return [{ kind: 'strayLetThrough', pressIndex, timeUs }];
    if (intent === 'wanted' && accepted === false) return [{ kind: 'wantedRefused', pressIndex, timeUs }];
    return [];
  });
}

function outsideSwings({ timeUs, deflections, swings }: WrongInput): number[] {
  const assignment = new FireAssignment(swings);
  return Array.from(deflections, (index) => timeUs[index]!).filter((us) => !assignment.isInside(us));
}

function wrongGestures(id: GestureDetectorId, { timeUs, fires, labels }: WrongInput): WrongMoment[] {
  const gestures = settleGestures(labels, gestureDetector(id).gesture);
  const windows = matchWindowsOf(gestures);
  const fireUs = Float64Array.from(fires[id], (index) => timeUs[index]!);
  const pairs = matchWindows(windows, fireUs);
  const [hit, used] = [new Set(pairs.map(({ ref }) => ref)), new Set(pairs.map(({ det }) => det))];
  const missed = gestures.flatMap((gesture, i): WrongMoment[] =>
    hit.has(i) ? [] : [{ kind: 'gestureMissed', id, timeUs: nearestTime(timeUs, gesture.endUs) }],
  );
  // Where nobody has labelled any, nobody has said that a fire is false.
  const tellsOutside = gestures.length > 0 || isSimulated(labels);
  const others = [...fireUs].flatMap((us, det): WrongMoment[] => {
    if (used.has(det)) return [];
    const isInside = windows.some(({ fromUs, toUs }) => fromUs <= us && us <= toUs);
    if (isInside) return [{ kind: 'gestureAgain', id, timeUs: us }];
    return tellsOutside ? [{ kind: 'gestureOutside', id, timeUs: us }] : [];
  });
  return [...missed, ...others];
}

function nearestTime(timeUs: Float64Array, us: number): number {
  return timeUs[Math.min(timeUs.length - 1, firstAtOrAfter(timeUs, us))] ?? us;
}
