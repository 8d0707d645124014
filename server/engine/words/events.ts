import type { GestureDetectorId } from '../detect/detectors.ts';
import type { EventFacts, EventKind, PropEvent } from '../score/listEvents.ts';
import type { Candidate } from '../settings/candidate.ts';
import { counted, fixed, shownSpeed } from './count.ts';
import { pressReason } from './presses.ts';

/** Why something happened, for the performer. */
const REASONS: { readonly [Kind in EventKind]: (facts: EventFacts[Kind]) => string } = {
  press: (verdict) => pressReason(verdict),
  deflection({ speedDps, levelDps, confirmMs }) {
    const confirmed = confirmMs === 0 ? '' : ` for ${confirmMs} ms`;
    return `${shownSpeed(speedDps, levelDps)}, at ${levelDps} °/s or above${confirmed}`;
  },
  stab({ thrustG, sustainMs, quietDps, quietBeforeMs, windowMs, untilHitDps, hitG }) {
    const lasting = sustainMs === 0 ? '' : ` for ${sustainMs} ms`;
    const before = quietBeforeMs === 0 ? '' : `, as in the ${quietBeforeMs} ms before it`;
    const level = Number(hitG.toFixed(2));
    return `a thrust of ${thrustG} g or more${lasting} at ${quietDps} °/s or less${before}, then a hit of ${level} g or more within ${windowMs} ms with no swing above ${untilHitDps} °/s between`;
  },
  impact: ({ impactG, speedDps, levelG }) =>
    `${impactG.toFixed(2)} g, the level at ${speedDps.toFixed(0)} °/s being ${levelG.toFixed(2)} g`,
  twist: ({ angleDeg, windowMs }) => `turned by ${angleDeg}° within ${windowMs} ms`,
  dial({ steps, degPerStep, twistDeg }) {
    const sign = steps > 0 ? '+' : '−';
    return `${sign}${counted(Math.abs(steps), 'step')} of ${degPerStep}°, the angle being ${fixed(twistDeg, 1)}°`;
  },
};

export function reasonOf<Kind extends EventKind>(kind: Kind, facts: EventFacts[Kind]): string {
  return REASONS[kind](facts);
}

export function eventReason({ kind, facts }: PropEvent): string {
  return reasonOf(kind, facts as never);
}

const BRIEFS: { readonly [Id in GestureDetectorId]: (settings: Candidate[Id]) => string } = {
  stab: ({ thrustG }) => `${thrustG} g, then a hit`,
  impact: ({ impactG }) => `${impactG} g`,
  twist: ({ angleDeg, degPerStep }) => `${angleDeg}°, dial ${degPerStep}° a step`,
};

/** The settings of a detector of gestures in a few words. */
export function briefOf<Id extends GestureDetectorId>(id: Id, candidate: Candidate): string {
  return BRIEFS[id](candidate[id]);
}
