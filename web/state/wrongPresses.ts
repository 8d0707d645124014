import { computed } from '@preact/signals';
import { centreOn } from '../charts/view.ts';
import { judgedMarks } from './judgedMarks.ts';
import { placeFromView } from './labelling.ts';
import { DIP_WINDOW_US } from './opening.ts';
import { openLabels, openTake, powerPresses } from './openTake.ts';
import { dispatch, sight } from './store.ts';
import { verdicts } from './verdicts.ts';

/** The presses of the open take, by index, that the candidate under edit gets wrong, in time order. */
export const wrongPresses = computed<readonly number[]>(() => {
  const presses = verdicts[sight.slot.value].value?.presses;
  return presses ? judgedMarks(presses, openLabels.value).wrong : [];
});

/** Chooses the next or previous wrong press, from the chosen press or from the middle of the view, and shows its dip. */
export function stepWrong(by: 1 | -1): void {
  const wrong = wrongPresses.peek();
  const take = openTake.peek();
  if (wrong.length === 0 || !take) return;
  const pressIndex = wrong[placeOf(wrong, by)]!;
  dispatch({ type: 'pressChosen', pressIndex });
  const { downUs } = powerPresses.peek()[pressIndex]!;
  dispatch({ type: 'windowMoved', window: centreOn(downUs, DIP_WINDOW_US, take.durationUs) });
}

function placeOf(wrong: readonly number[], by: 1 | -1): number {
  const chosen = sight.pressIndex.peek();
  const at = chosen === null ? -1 : wrong.indexOf(chosen);
  if (at !== -1) return (at + by + wrong.length) % wrong.length;
  const presses = powerPresses.peek();
  const place = placeFromView(
    wrong.map((index) => presses[index]!.downUs),
    by,
  );
  return isShown(presses[wrong[place]!]!.downUs) ? (place + by + wrong.length) % wrong.length : place;
}

/** Whether it is the one in the middle of a close view already, which is told of though nobody chose it. */
function isShown(downUs: number): boolean {
  const window = sight.window.peek();
  if (window === null) return false;
  return Math.abs((window.startUs + window.endUs) / 2 - downUs) < 1000;
}
