import { effect, untracked } from '@preact/signals';
import { intentOf } from '../../server/engine/labels/labels.ts';
import { centreOn } from '../charts/view.ts';
import type { TimeWindow } from './model.ts';
import { openLabels, openTake } from './openTake.ts';
import { chosenTakeId, dispatch, sight } from './store.ts';
import { verdicts } from './verdicts.ts';

/** So much about a press that its dip is a picture: a few swings to either side. */
export const DIP_WINDOW_US = 2_000_000;

/**
 * What a take shows in Tune while nobody has said what: the first stray press that the candidate under edit lets
 * through, close enough to see why; where there is none, all of the take.
 */
export function startOpening(): () => void {
  return effect(() => {
    const take = openTake.value;
    if (sight.view.value !== 'tune' || !sight.isWindowOpen.value || take === null) return;
    if (take.document.id !== chosenTakeId.value) return;
    untracked(() => dispatch({ type: 'windowMoved', window: firstLetThrough(take.durationUs) }));
  });
}

function firstLetThrough(durationUs: number): TimeWindow | null {
  const labels = openLabels.peek();
  const first = verdicts[sight.slot.peek()]
    .peek()
    ?.presses.find(({ accepted, press }) => accepted === true && intentOf(labels, press)?.intent === 'stray');
  return first ? centreOn(first.press.downUs, DIP_WINDOW_US, durationUs) : null;
}
