import type { Decline } from '../decline.ts';
import { type GestureSuggestion, suggestGesture } from './choice.ts';
import { declineOnGestures, noneGood } from './declines.ts';
import type { GestureEvidence } from './evidence.ts';
import type { GestureMapKind } from './maps.ts';
import type { GestureGrid } from './take.ts';

export type GestureChoice =
  | GestureSuggestion
  | ({ readonly kind: 'declined' } & { readonly decline: Decline });

/**
 * The most central point of the best plateau, or why there is none.
 * @param grid  the sum over the takes that are fit. @param evidence  of all takes asked about.
 */
export function chooseGesture(
  map: GestureMapKind,
  grid: GestureGrid | null,
  evidence: readonly GestureEvidence[],
): GestureChoice {
  const decline = declineOnGestures(map, evidence);
  if (decline !== null) return { kind: 'declined', decline };
  if (grid === null) throw new RangeError('there are gestures but no grid over their settings');
  const suggestion = suggestGesture(map, grid);
  const poor = noneGood(suggestion, evidence);
  return poor === null ? suggestion : { kind: 'declined', decline: poor };
}
