import { stabHitSettings } from '../detect/stab.ts';
import { shownSpeed } from '../detect/wording.ts';
import type { Evaluation } from './evaluate.ts';

type EventKind = 'press' | 'deflection' | 'impact' | 'stab' | 'twist' | 'dial';

/** One thing that the prop would have done, or refused. */
interface PropEvent {
  readonly kind: EventKind;
  readonly timeUs: number;
  /** A sentence for the performer. */
  readonly reason: string;
}

/** All events of an evaluation in time order; at one moment, presses come last: the guard judged them knowing the sample. */
export function listEvents(evaluation: Evaluation): PropEvent[] {
  const { signals, candidate } = evaluation;
  const events: PropEvent[] = [];
  const add = (kind: EventKind, index: number, reason: string) => {
    events.push({ kind, timeUs: signals.timeUs[index]!, reason });
  };
  for (const i of evaluation.deflections) add('deflection', i, deflectionReason(evaluation, i));
  for (const i of evaluation.impacts) add('impact', i, impactReason(evaluation, i));
  for (const i of evaluation.stabs) add('stab', i, stabReason(evaluation));
  const { angleDeg, windowMs } = candidate.twist;
  for (const i of evaluation.twists) add('twist', i, `turned by ${angleDeg}° within ${windowMs} ms`);
  for (const { index, steps } of evaluation.dialSteps)
    add('dial', index, dialReason(evaluation, index, steps));
  for (const { decidedUs, press, reason } of evaluation.verdicts) {
    events.push({ kind: 'press', timeUs: decidedUs ?? press.downUs, reason });
  }
  return events.sort((a, b) => a.timeUs - b.timeUs);
}

function deflectionReason({ signals, candidate }: Evaluation, index: number): string {
  const { speedDps, confirmMs } = candidate.deflection;
  const confirmed = confirmMs === 0 ? '' : ` for ${confirmMs} ms`;
  return `${shownSpeed(signals.swingSpeedDps[index]!, speedDps)}, at ${speedDps} °/s or above${confirmed}`;
}

function impactReason({ signals, candidate }: Evaluation, index: number): string {
  const speedDps = signals.swingSpeedDps[index]!;
  const levelG = candidate.impact.impactG + (candidate.impact.allowanceGPer100Dps * speedDps) / 100;
  return `${signals.impactG[index]!.toFixed(2)} g, the level at ${speedDps.toFixed(0)} °/s being ${levelG.toFixed(2)} g`;
}

function stabReason({ candidate }: Evaluation): string {
  const { thrustG, sustainMs, quietDps, quietBeforeMs, windowMs, untilHitDps } = candidate.stab;
  const lasting = sustainMs === 0 ? '' : ` for ${sustainMs} ms`;
  const before = quietBeforeMs === 0 ? '' : `, as in the ${quietBeforeMs} ms before it`;
  const hitG = Number(stabHitSettings(candidate.stab, candidate.impact).impactG.toFixed(2));
  return `a thrust of ${thrustG} g or more${lasting} at ${quietDps} °/s or less${before}, then a hit of ${hitG} g or more within ${windowMs} ms with no swing above ${untilHitDps} °/s between`;
}

function dialReason({ signals, candidate }: Evaluation, index: number, steps: number): string {
  const sign = steps > 0 ? '+' : '−';
  const count = Math.abs(steps);
  // Adding 0 turns -0 into 0.
  const angle = (Math.round(signals.twistDeg[index]! * 10) / 10 + 0).toFixed(1).replace('-', '−');
  return `${sign}${count} ${count === 1 ? 'step' : 'steps'} of ${candidate.twist.degPerStep}°, the angle being ${angle}°`;
}
