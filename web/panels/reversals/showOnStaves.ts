import { wholeTake } from '../../charts/view.ts';
import { openTake } from '../../state/openTake.ts';
import { chosenTakeId, dispatch } from '../../state/store.ts';

/** Length of the take in sight around the moment. */
const SHOWN_US = 3_000_000;

/** Goes to Tune with a moment of a take in the middle of the staves. */
export function showOnStaves(takeId: string, momentUs: number): void {
  const open = openTake.peek();
  const durationUs = open?.document.id === takeId ? open.durationUs : Number.POSITIVE_INFINITY;
  const startUs = Math.max(0, Math.min(momentUs - SHOWN_US / 2, wholeTake(durationUs).endUs - SHOWN_US));
  const window = { startUs: Math.round(startUs), endUs: Math.round(startUs + SHOWN_US) };
  if (chosenTakeId.peek() === takeId) dispatch({ type: 'windowMoved', window });
  else dispatch({ type: 'takeOpened', takeId, window });
  dispatch({ type: 'viewChosen', view: 'tune' });
}
