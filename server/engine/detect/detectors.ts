import { DEFLECTION } from './deflection.ts';
import type { GestureDetector } from './detector.ts';
import { GUARD } from './guard.ts';
import { IMPACT } from './impact.ts';
import { STAB } from './stab.ts';
import { TWIST } from './twistTrigger.ts';

/** Detectors of gestures: what runs, scores, tells and draws them goes through this list. */
export const GESTURE_DETECTORS = { stab: STAB, impact: IMPACT, twist: TWIST } as const;

/** Every detector, in the order of tables, settings and files. */
export const DETECTORS = { guard: GUARD, deflection: DEFLECTION, ...GESTURE_DETECTORS } as const;

export type GestureDetectorId = keyof typeof GESTURE_DETECTORS;
export type DetectorId = keyof typeof DETECTORS;

export const GESTURE_DETECTOR_IDS = Object.keys(GESTURE_DETECTORS) as readonly GestureDetectorId[];
export const DETECTOR_IDS = Object.keys(DETECTORS) as readonly DetectorId[];

/** The settings of the detectors of gestures. */
export type GestureSettings = GroupsOf<(typeof GESTURE_DETECTORS)[GestureDetectorId]>;

/** Any of them, to be run with the settings of all. */
export function gestureDetector(id: GestureDetectorId): GestureDetector<GestureSettings> {
  return GESTURE_DETECTORS[id];
}

/** One value for each detector of gestures. */
export function ofEachGesture<Value>(
  make: (id: GestureDetectorId) => Value,
): Readonly<Record<GestureDetectorId, Value>> {
  const entries = GESTURE_DETECTOR_IDS.map((id) => [id, make(id)]);
  return Object.fromEntries(entries) as Record<GestureDetectorId, Value>;
}

type GroupsOf<D> = Both<D extends { run(signals: never, groups: infer Groups): unknown } ? Groups : never>;
/** What is each of the members of a union at once. */
type Both<U> = (U extends unknown ? (u: U) => void : never) extends (all: infer All) => void ? All : never;
