import { panBy, wholeTake, zoomAbout } from '../charts/view.ts';
import { labelChosenPress, stepPress, zoomToPress } from '../state/labelling.ts';
import { confirmChosen, markMiddle, rejectChosen, spanMode, stepItem } from '../state/labelWalk.ts';
import { openTake, powerPresses } from '../state/openTake.ts';
import { step } from '../state/steps.ts';
import { dispatch, sight } from '../state/store.ts';
import { VIEWS } from '../state/views.ts';
import { stepWrong } from '../state/wrongPresses.ts';
import { pulledPanel } from './folding.ts';
import { helpIsOpen } from './HelpDialog.tsx';

/** The actions of keys while no field has the focus. */
const COMMANDS: Readonly<Record<string, () => void>> = {
  n: () => stepPress(1),
  p: () => stepPress(-1),
  '[': () => stepWrong(-1),
  ']': () => stepWrong(1),
  w: () => labelChosenPress('wanted'),
  s: () => labelChosenPress('stray'),
  u: () => labelChosenPress('unsure'),
  j: () => stepItem(1),
  k: () => stepItem(-1),
  c: confirmChosen,
  x: rejectChosen,
  delete: rejectChosen,
  l: () => (spanMode.value = !spanMode.peek()),
  escape: leave,
  a: () => dispatch({ type: 'slotChosen', slot: 'a' }),
  b: () => dispatch({ type: 'slotChosen', slot: 'b' }),
  '0': () => dispatch({ type: 'windowMoved', window: null }),
  '+': () => zoom(1 / 1.5),
  '=': () => zoom(1 / 1.5),
  '-': () => zoom(1.5),
  arrowleft: () => pan(-0.15),
  arrowright: () => pan(0.15),
  enter: () => (spanMode.peek() ? markMiddle() : zoomToChosen()),
  '?': () => (helpIsOpen.value = true),
};

/** Listens for the page's keys. @returns a function that stops it. */
export function bindKeys(): () => void {
  const listeners = new AbortController();
  addEventListener('keydown', onKey, { signal: listeners.signal });
  return () => listeners.abort();
}

function onKey(event: KeyboardEvent): void {
  if (event.defaultPrevented || document.querySelector('dialog[open]')) return;
  const key = event.key.toLowerCase();
  if (event.ctrlKey || event.metaKey) {
    if (isText(event.target)) return;
    const type = key === 'z' ? (event.shiftKey ? 'redone' : 'undone') : key === 'y' ? 'redone' : null;
    if (!type) return;
    event.preventDefault();
    step(type);
    return;
  }
  if (event.altKey || (key !== 'escape' && isField(event.target))) return;
  if (key === 'enter' && event.target instanceof HTMLButtonElement) return;
  const view = /^[1-9]$/.test(key) ? VIEWS[Number(key) - 1] : undefined;
  const command = view ? () => dispatch({ type: 'viewChosen', view }) : COMMANDS[key];
  if (!command) return;
  event.preventDefault();
  command();
}

/** Escape closes what lies over the staves first, then the open panel; the button that opened it gets the focus. */
function leave(): void {
  if (spanMode.peek()) {
    spanMode.value = false;
    return;
  }
  const panel = pulledPanel.peek();
  if (panel === null) return;
  pulledPanel.value = null;
  const pulls = document.querySelectorAll<HTMLElement>(`[data-pulls="${panel}"]`);
  [...pulls].find((button) => button.checkVisibility())?.focus();
}

/** A text being typed has an undo of its own. */
function isText(target: EventTarget | null): boolean {
  return (
    target instanceof HTMLTextAreaElement ||
    (target instanceof HTMLInputElement && target.type === 'text' && target.closest('.number') === null)
  );
}

function isField(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest('input, select, textarea') !== null;
}

function view() {
  const durationUs = openTake.peek()?.durationUs ?? 0;
  return { durationUs, window: sight.window.peek() ?? wholeTake(durationUs) };
}

function zoom(factor: number): void {
  const { window, durationUs } = view();
  const press = powerPresses.peek()[sight.pressIndex.peek() ?? -1];
  const isInSight = press && press.downUs >= window.startUs && press.downUs <= window.endUs;
  const about = isInSight ? press.downUs : (window.startUs + window.endUs) / 2;
  dispatch({ type: 'windowMoved', window: zoomAbout(window, about, factor, durationUs) });
}

function pan(part: number): void {
  const { window, durationUs } = view();
  dispatch({
    type: 'windowMoved',
    window: panBy(window, part * (window.endUs - window.startUs), durationUs),
  });
}

function zoomToChosen(): void {
  const pressIndex = sight.pressIndex.peek();
  if (pressIndex !== null && powerPresses.peek()[pressIndex]) zoomToPress(pressIndex);
}
