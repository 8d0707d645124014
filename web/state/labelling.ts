import type { Press } from '../../server/engine/log.ts';
import { type Intent, intentOf, type Labels } from '../../server/engine/truth/labels.ts';
import { centreOn } from '../charts/view.ts';
import { openLabels, openTake, powerPresses } from './openTake.ts';
import { dispatch, state } from './store.ts';

/** Labels with the intent of one press as a person gave it; null takes the label away. */
export function withIntent(labels: Labels, press: Press, intent: Intent | null): Labels {
  const others = labels.presses.filter(
    (label) => label.downUs !== press.downUs || label.button !== press.button,
  );
  if (intent === null) return { ...labels, presses: others };
  const label = { downUs: press.downUs, button: press.button, intent, by: 'person' as const };
  return { ...labels, presses: [...others, label].sort((a, b) => a.downUs - b.downUs) };
}

/** Labels the chosen press; the same label again takes it away. */
export function labelChosenPress(intent: Intent): void {
  const take = openTake.peek();
  const press = powerPresses.peek()[state.peek().pressIndex ?? -1];
  if (!take || !press) return;
  const now = intentOf(openLabels.peek(), press);
  const isSame = now?.intent === intent && now.by === 'person';
  dispatch({
    type: 'labelsChanged',
    takeId: take.document.id,
    labels: withIntent(openLabels.peek(), press, isSame ? null : intent),
  });
}

/** Chooses the next or previous press, from the chosen one or from the middle of the view, and brings it into sight. */
export function stepPress(by: 1 | -1): void {
  const presses = powerPresses.peek();
  const take = openTake.peek();
  if (presses.length === 0 || !take) return;
  const { pressIndex, window } = state.peek();
  const index =
    pressIndex === null
      ? by > 0
        ? 0
        : presses.length - 1
      : (pressIndex + by + presses.length) % presses.length;
  dispatch({ type: 'pressChosen', pressIndex: index });
  const { downUs } = presses[index]!;
  if (window && (downUs < window.startUs || downUs > window.endUs)) {
    dispatch({
      type: 'windowMoved',
      window: centreOn(downUs, window.endUs - window.startUs, take.durationUs),
    });
  }
}
