import type { GESTURE_DETECTORS, GestureDetectorId } from '../detect/detectors.ts';
import type { Candidate } from '../settings/candidate.ts';

type FactsOf<Id extends GestureDetectorId> = ReturnType<(typeof GESTURE_DETECTORS)[Id]['factsOf']>;

/** What is said of each detector of gestures. */
const WORDS: {
  readonly [Id in GestureDetectorId]: {
    /** Its settings, as short as can be. */
    brief(settings: Candidate[Id]): string;
    /** Why it fired. */
    fire(facts: FactsOf<Id>): string;
  };
} = {
  stab: {
    brief: ({ thrustG }) => `${thrustG} g, then a hit`,
    fire({ thrustG, sustainMs, quietDps, quietBeforeMs, windowMs, untilHitDps, hitG }) {
      const lasting = sustainMs === 0 ? '' : ` for ${sustainMs} ms`;
      const before = quietBeforeMs === 0 ? '' : `, as in the ${quietBeforeMs} ms before it`;
      const level = Number(hitG.toFixed(2));
      return `a thrust of ${thrustG} g or more${lasting} at ${quietDps} °/s or less${before}, then a hit of ${level} g or more within ${windowMs} ms with no swing above ${untilHitDps} °/s between`;
    },
  },
  impact: {
    brief: ({ impactG }) => `${impactG} g`,
    fire: ({ impactG, speedDps, levelG }) =>
      `${impactG.toFixed(2)} g, the level at ${speedDps.toFixed(0)} °/s being ${levelG.toFixed(2)} g`,
  },
  twist: {
    brief: ({ angleDeg, degPerStep }) => `${angleDeg}°, dial ${degPerStep}° a step`,
    fire: ({ angleDeg, windowMs }) => `turned by ${angleDeg}° within ${windowMs} ms`,
  },
};

/** The settings of a detector of gestures in a few words. */
export function briefOf<Id extends GestureDetectorId>(id: Id, candidate: Candidate): string {
  return WORDS[id].brief(candidate[id]);
}
