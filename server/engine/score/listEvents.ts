import {
  GESTURE_DETECTOR_IDS,
  type GESTURE_DETECTORS,
  type GestureDetectorId,
  gestureDetector,
} from '../detect/detectors.ts';
import type { PressVerdict } from '../detect/presses.ts';
import type { Evaluation } from './evaluate.ts';

/** What is to be told of an event, by its kind. `words/events.ts` tells it. */
export type EventFacts = {
  readonly press: PressVerdict;
  readonly deflection: { readonly speedDps: number; readonly levelDps: number; readonly confirmMs: number };
  readonly dial: { readonly steps: number; readonly degPerStep: number; readonly twistDeg: number };
} & { readonly [Id in GestureDetectorId]: ReturnType<(typeof GESTURE_DETECTORS)[Id]['factsOf']> };

export type EventKind = keyof EventFacts;

/** One thing that the prop would have done, or refused. */
export type PropEvent = {
  [Kind in EventKind]: { readonly kind: Kind; readonly timeUs: number; readonly facts: EventFacts[Kind] };
}[EventKind];

/**
 * All events of an evaluation in time order. At one moment a hit comes before the stab that it ends, and presses come
 * last: the guard judged them knowing the sample.
 */
export function listEvents(
  evaluation: Pick<Evaluation, 'signals' | 'candidate' | 'fires' | 'deflections' | 'dialSteps' | 'verdicts'>,
): PropEvent[] {
  const { signals, candidate, fires } = evaluation;
  const { timeUs, swingSpeedDps, twistDeg } = signals;
  const events: PropEvent[] = [];
  const { speedDps: levelDps, confirmMs } = candidate.deflection;
  for (const i of evaluation.deflections ?? []) {
    const facts = { speedDps: swingSpeedDps[i]!, levelDps, confirmMs };
    events.push({ kind: 'deflection', timeUs: timeUs[i]!, facts });
  }
  const byRest = [...GESTURE_DETECTOR_IDS].sort((a, b) => restsOn(a) - restsOn(b));
  for (const kind of byRest) {
    for (const i of fires[kind]) {
      const facts = gestureDetector(kind).factsOf(signals, i, candidate);
      events.push({ kind, timeUs: timeUs[i]!, facts } as PropEvent);
    }
  }
  const { degPerStep } = candidate.twist;
  for (const { index, steps } of evaluation.dialSteps) {
    const facts = { steps, degPerStep, twistDeg: twistDeg[index]! };
    events.push({ kind: 'dial', timeUs: timeUs[index]!, facts });
  }
  for (const facts of evaluation.verdicts)
    events.push({ kind: 'press', timeUs: facts.decidedUs ?? facts.press.downUs, facts });
  return events.sort((a, b) => a.timeUs - b.timeUs);
}

function restsOn(id: GestureDetectorId): number {
  return gestureDetector(id).restsOn.length;
}
