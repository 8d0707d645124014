import { computed, type ReadonlySignal, signal } from '@preact/signals';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { AppState, Slot } from './model.ts';
import { type Action, INITIAL_STATE, update } from './update.ts';

/** The page's one state. It is read by its slices alone, and only `dispatch` writes it. */
const state = signal<AppState>(INITIAL_STATE);

export function dispatch(action: Action): void {
  const next = update(state.peek(), action);
  if (next !== state.peek()) state.value = next;
}

/** One part of the state: who reads it hears of nothing else. */
function slice<Part>(partOf: (state: AppState) => Part): ReadonlySignal<Part> {
  return computed(() => partOf(state.value));
}

/** The take that is to be open; `openTake` is the one that is read. */
export const chosenTakeId = slice((now) => now.takeId);

/** What is in sight. */
export const sight = {
  view: slice((now) => now.view),
  /** null shows the whole take. */
  window: slice((now) => now.window),
  /** Nobody has said yet what of the take is to be in sight. */
  isWindowOpen: slice((now) => now.isWindowOpen),
  /** The candidate that the controls edit. */
  slot: slice((now) => now.slot),
  showB: slice((now) => now.showB),
  /** Index into the open take's presses of the power button. */
  pressIndex: slice((now) => now.pressIndex),
};

/** Each by itself: a drag of one is nothing to who reads the other. */
export const candidates: Readonly<Record<Slot, ReadonlySignal<Candidate>>> = {
  a: slice((now) => now.work.candidates.a),
  b: slice((now) => now.work.candidates.b),
};
export const bothCandidates = slice((now) => now.work.candidates);

/** The candidate that the controls edit. */
export const editedCandidate = slice((now) => now.work.candidates[now.slot]);

/** By take, as far as the page knows them. */
export const labelsByTake = slice((now) => now.work.labels);

/** What undo covers and the server keeps. */
export const pageWork = slice((now) => now.work);

/** Counts what the user did to the work. */
export const stepsTaken = slice((now) => now.step);

export const canUndo = slice((now) => now.past.length > 0);
/** What the next step back or forth does beside the work; null where it is about candidates or labels. */
export const besideSteps = {
  undone: slice((now) => now.past.at(-1)?.besideId ?? null),
  redone: slice((now) => now.future.at(-1)?.besideId ?? null),
};
export const canRedo = slice((now) => now.future.length > 0);
