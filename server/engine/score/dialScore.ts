import type { Span } from '../base/log.ts';
import type { DialSteps } from '../detect/twistDial.ts';
import { confirmedGestures } from '../labels/confirmedGestures.ts';
import { type Labels, spinningSpans } from '../labels/labels.ts';
import { tellsOfGestures, windowOf } from './gestureScore.ts';

/** How the twist's dial did: it is to turn with the grip at a twist, and at nothing else. Steps up and down count alike. */
export interface DialScore {
  readonly steps: number;
  /** Steps at no labelled twist; null where nobody has said where twists are, as with `GestureScore.falseFires`. */
  readonly outside: number | null;
  /** Those of them that fall into a labelled spin; null where no spin is labelled. */
  readonly spinning: number | null;
}

/** The score of labels that tell nothing of the dial, whatever it does. */
export const NO_DIAL: DialScore = { steps: 0, outside: null, spinning: null };

/**
 * A step belongs to a twist as a fire belongs to a gesture. At a twist that the program proposed it is neither right nor
 * wrong, for nobody has confirmed it.
 */
export function scoreDial(timeUs: Float64Array, moves: readonly DialSteps[], labels: Labels): DialScore {
  const { gestures, unconfirmed, tellsOutside } = confirmedGestures(labels, 'twist');
  const twists = [...gestures, ...unconfirmed].map(windowOf);
  const spins = spinningSpans(labels, []);
  let [steps, outside, spinning] = [0, 0, 0];
  for (const { index, steps: moved } of moves) {
    const [count, atUs] = [Math.abs(moved), timeUs[index]!];
    steps += count;
    if (isIn(twists, atUs)) continue;
    outside += count;
    if (isIn(spins, atUs)) spinning += count;
  }
  return {
    steps,
    outside: tellsOutside ? outside : null,
    spinning: spins.length > 0 ? spinning : null,
  };
}

/** Whether labels say anything of the dial: where they do not, there is no need of the twist. */
export function tellsOfDial(labels: Labels): boolean {
  return tellsOfGestures(labels) || spinningSpans(labels, []).length > 0;
}

function isIn(spans: readonly Span[], atUs: number): boolean {
  return spans.some(({ startUs, endUs }) => startUs <= atUs && atUs <= endUs);
}
