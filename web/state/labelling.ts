import type { Press } from '../../server/engine/base/log.ts';
import { type Intent, intentOf, type Labels } from '../../server/engine/labels/labels.ts';
import { centreOn } from '../charts/view.ts';
import { openLabels, openTake, powerPresses } from './openTake.ts';
import { dispatch, sight } from './store.ts';

/**
 * Labels with the intent of one press as a person gave it; null takes that away. What a simulation or the program said
 * of the press stays behind it.
 */
export function withIntent(labels: Labels, press: Press, intent: Intent | null): Labels {
  const others = labels.presses.filter(
    (label) => label.by !== 'person' || label.downUs !== press.downUs || label.button !== press.button,
  );
  if (intent === null) return { ...labels, presses: others };
  const label = { downUs: press.downUs, button: press.button, intent, by: 'person' as const };
  return { ...labels, presses: [...others, label].sort((a, b) => a.downUs - b.downUs) };
}

/** Puts changed labels in the place of the open take's: one step for undo. */
export function changeLabels(labels: Labels): void {
  const take = openTake.peek();
  if (!take || labels === openLabels.peek()) return;
  dispatch({ type: 'labelsChanged', takeId: take.document.id, labels });
}

/** Labels the chosen press; the same label again takes it away. */
export function labelChosenPress(intent: Intent): void {
  const press = powerPresses.peek()[sight.pressIndex.peek() ?? -1];
  if (!press) return;
  const now = intentOf(openLabels.peek(), press);
  const isSame = now?.intent === intent && now.by === 'person';
  changeLabels(withIntent(openLabels.peek(), press, isSame ? null : intent));
}

/** Chooses the next or previous press, from the chosen one or from the middle of the view, and centres the traces on it. */
export function stepPress(by: 1 | -1): void {
  const presses = powerPresses.peek();
  if (presses.length === 0 || !openTake.peek()) return;
  const pressIndex = sight.pressIndex.peek();
  const index =
    pressIndex === null
      ? placeFromView(
          presses.map(({ downUs }) => downUs),
          by,
        )
      : (pressIndex + by + presses.length) % presses.length;
  choosePress(index);
}

const PRESS_WINDOW_US = 3_000_000;

/** Chooses a press and centres the traces on it. */
export function choosePress(pressIndex: number): void {
  dispatch({ type: 'pressChosen', pressIndex });
  centreView(powerPresses.peek()[pressIndex]!.downUs, null);
}

/** Chooses a press and shows a few seconds about it. */
export function zoomToPress(pressIndex: number): void {
  const durationUs = openTake.peek()?.durationUs ?? 0;
  const { downUs } = powerPresses.peek()[pressIndex]!;
  dispatch({ type: 'pressChosen', pressIndex });
  dispatch({ type: 'windowMoved', window: centreOn(downUs, PRESS_WINDOW_US, durationUs) });
}

/**
 * The first moment, of those in time order, past the middle of the view in a direction; from the ends where all are in
 * sight.
 */
export function placeFromView(momentsUs: readonly number[], by: 1 | -1): number {
  const window = sight.window.peek();
  const end = by > 0 ? 0 : momentsUs.length - 1;
  if (window === null) return end;
  const middleUs = (window.startUs + window.endUs) / 2;
  const place =
    by > 0
      ? momentsUs.findIndex((momentUs) => momentUs >= middleUs)
      : momentsUs.findLastIndex((momentUs) => momentUs <= middleUs);
  return place === -1 ? end : place;
}

/**
 * Moves the view so that a moment is in its middle. A view of all of the take stays, unless a length to zoom to is given;
 * one that is zoomed keeps its length, but is widened to `leastUs`.
 */
export function centreView(momentUs: number, zoomUs: number | null, leastUs = 0): void {
  const durationUs = openTake.peek()?.durationUs ?? 0;
  const window = sight.window.peek();
  const lengthUs = window === null ? zoomUs : Math.max(window.endUs - window.startUs, leastUs);
  if (lengthUs === null) return;
  dispatch({ type: 'windowMoved', window: centreOn(momentUs, lengthUs, durationUs) });
}
