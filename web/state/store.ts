import { computed, signal } from '@preact/signals';
import type { AppState } from './model.ts';
import { type Action, INITIAL_STATE, update } from './update.ts';

/** The page's one state. Panels and charts read it; only `dispatch` writes it. */
export const state = signal<AppState>(INITIAL_STATE);

export function dispatch(action: Action): void {
  const next = update(state.peek(), action);
  if (next !== state.peek()) state.value = next;
}

export const canUndo = computed(() => state.value.past.length > 0);
export const canRedo = computed(() => state.value.future.length > 0);

/** The candidate that the controls edit. */
export const editedCandidate = computed(() => state.value.work.candidates[state.value.slot]);
