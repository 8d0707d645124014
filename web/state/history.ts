import { effect } from '@preact/signals';
import type { Press } from '../../server/engine/base/log.ts';
import { EMPTY_LABELS, intentOf, type Labels } from '../../server/engine/labels/labels.ts';
import { choosePress } from './labelling.ts';
import { dismiss, notify } from './notices.ts';
import { openTake, powerPresses } from './openTake.ts';
import { dispatch, pageWork, stepsTaken } from './store.ts';

/** Takes the last step back, or the last one taken back anew; a label that this changes is shown and told of. */
export function stepThroughHistory(type: 'undone' | 'redone'): void {
  const before = pageWork.peek();
  dispatch({ type });
  const take = openTake.peek();
  const work = pageWork.peek();
  if (!take || work === before) return;
  const id = take.document.id;
  const [was, is] = [before.labels[id] ?? EMPTY_LABELS, work.labels[id] ?? EMPTY_LABELS];
  if (was === is) return;
  const changed = changedPresses(powerPresses.peek(), was, is);
  if (changed.length === 1) choosePress(changed[0]!);
  notify(
    'fact',
    `${type === 'undone' ? 'Undone' : 'Done again'}: ${labelChange(powerPresses.peek(), changed, is)}.`,
    undefined,
    'history',
  );
}

/** Tells of a change of candidates or labels that was just made, and offers to take it back until another one is made. */
export function notifyUndoable(text: string, undo = () => stepThroughHistory('undone')): void {
  const step = stepsTaken.peek();
  const id = notify('fact', text, { label: 'Undo', run: undo });
  const stopWatching = effect(() => {
    if (stepsTaken.value === step) return;
    dismiss(id);
    stopWatching();
  });
}

/** Places of the presses whose intent two sets of labels tell differently. */
function changedPresses(presses: readonly Press[], was: Labels, is: Labels): number[] {
  return presses.flatMap((press, index) =>
    intentOf(was, press)?.intent === intentOf(is, press)?.intent ? [] : [index],
  );
}

/** The state after a step, in words: of one press, or how much of it there is. */
function labelChange(presses: readonly Press[], changed: readonly number[], is: Labels): string {
  if (changed.length === 0) return 'a label of the traces';
  if (changed.length > 1) return `labels of ${changed.length} presses`;
  const label = intentOf(is, presses[changed[0]!]!);
  const press = `press ${changed[0]! + 1}`;
  return label === null ? `${press} has no label` : `${press} is ${label.intent}`;
}
