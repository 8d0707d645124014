import type { Labels } from '../../server/engine/labels/labels.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import {
  DEFAULT_CANDIDATE,
  type FieldPath,
  readField,
  withField,
} from '../../server/engine/settings/candidateRules.ts';
import type { AppState, Slot, TimeWindow, Work } from './model.ts';
import type { View } from './views.ts';

export type Action =
  | { type: 'viewChosen'; view: View }
  | { type: 'takeOpened'; takeId: string | null; window?: TimeWindow | null; pressIndex?: number | null }
  | { type: 'windowMoved'; window: TimeWindow | null }
  | { type: 'slotChosen'; slot: Slot }
  | { type: 'secondShown'; show: boolean }
  | { type: 'pressChosen'; pressIndex: number | null }
  | { type: 'settingChanged'; slot: Slot; path: FieldPath; value: number | string; gesture: string | null }
  | { type: 'candidateReplaced'; slot: Slot; candidate: Candidate }
  | { type: 'candidatesSwapped' }
  | { type: 'labelsChanged'; takeId: string; labels: Labels }
  /** A candidate was kept as a setting: a step to take back, though it leaves the work as it was. */
  | { type: 'doneBeside'; id: string }
  | { type: 'gestureCancelled'; gesture: string }
  | { type: 'undone' }
  | { type: 'redone' }
  /** The server's state: not the user's doing, so it leaves no history. */
  | { type: 'candidatesLoaded'; a: Candidate; b: Candidate }
  | { type: 'labelsLoaded'; takeId: string; labels: Labels }
  /** The take is no longer in the workspace: nothing of it is left to come back to. */
  | { type: 'takeForgotten'; takeId: string };

const HISTORY_LIMIT = 200;

export const INITIAL_STATE: AppState = {
  view: 'tune',
  takeId: null,
  window: null,
  isWindowOpen: true,
  slot: 'a',
  showB: true,
  pressIndex: null,
  work: { candidates: { a: DEFAULT_CANDIDATE, b: DEFAULT_CANDIDATE }, labels: {} },
  past: [],
  future: [],
  step: 0,
};

/** The state after an action. Pure; returns the same object where nothing changed. */
export function update(state: AppState, action: Action): AppState {
  switch (action.type) {
    case 'viewChosen':
      return { ...state, view: action.view };
    case 'takeOpened':
      return {
        ...openTake(state, action.takeId, action.window ?? null, action.pressIndex ?? null),
        isWindowOpen: action.window === undefined,
      };
    case 'windowMoved':
      return { ...state, window: action.window, isWindowOpen: false };
    case 'slotChosen':
      return { ...state, slot: action.slot, showB: state.showB || action.slot === 'b' };
    case 'secondShown':
      return { ...state, showB: action.show, slot: action.show ? state.slot : 'a' };
    case 'pressChosen':
      return { ...state, pressIndex: action.pressIndex };
    case 'settingChanged': {
      const before = state.work.candidates[action.slot];
      if (readField(before, action.path) === action.value) return state;
      const after = withField(before, action.path, action.value);
      return record(state, withCandidate(state.work, action.slot, after), action.gesture);
    }
    case 'candidateReplaced':
      return record(state, withCandidate(state.work, action.slot, action.candidate), null);
    case 'candidatesSwapped': {
      const { a, b } = state.work.candidates;
      return record(state, { ...state.work, candidates: { a: b, b: a } }, null);
    }
    case 'labelsChanged':
      return record(state, withLabels(state.work, action.takeId, action.labels), null);
    case 'doneBeside':
      return record(state, state.work, null, action.id);
    case 'gestureCancelled':
      return cancel(state, action.gesture);
    case 'undone':
      return undo(state);
    case 'redone':
      return redo(state);
    case 'candidatesLoaded':
      return { ...state, work: { ...state.work, candidates: { a: action.a, b: action.b } } };
    case 'labelsLoaded':
      return mapWork(state, (work) => withLabels(work, action.takeId, action.labels));
    case 'takeForgotten':
      return withoutIdleSteps(mapWork(state, (work) => withoutLabels(work, action.takeId)));
    default:
      return assertNever(action);
  }
}

function openTake(
  state: AppState,
  takeId: string | null,
  window: TimeWindow | null,
  pressIndex: number | null,
): AppState {
  return { ...state, takeId, window, isWindowOpen: false, pressIndex };
}

function withCandidate(work: Work, slot: Slot, candidate: Candidate): Work {
  return { ...work, candidates: { ...work.candidates, [slot]: candidate } };
}

function withLabels(work: Work, takeId: string, labels: Labels): Work {
  return { ...work, labels: { ...work.labels, [takeId]: labels } };
}

function withoutLabels(work: Work, takeId: string): Work {
  const { [takeId]: _, ...labels } = work.labels;
  return { ...work, labels };
}

/** The same done to the work and to all that undo and redo come back to: it held then as it holds now. */
function mapWork(state: AppState, change: (work: Work) => Work): AppState {
  return {
    ...state,
    work: change(state.work),
    past: state.past.map((entry) => ({ ...entry, work: change(entry.work) })),
    future: state.future.map((step) => ({ ...step, work: change(step.work) })),
  };
}

/** Steps that no longer change anything are none. */
function withoutIdleSteps(state: AppState): AppState {
  const { work, past, future } = state;
  return {
    ...state,
    past: past.filter(
      (entry, i) => entry.besideId !== null || !isSameWork(entry.work, past[i + 1]?.work ?? work),
    ),
    future: future.filter(
      (then, i) => then.besideId !== null || !isSameWork(then.work, future[i + 1]?.work ?? work),
    ),
  };
}

function isSameWork(a: Work, b: Work): boolean {
  const ids = Object.keys({ ...a.labels, ...b.labels });
  return a.candidates === b.candidates && ids.every((id) => a.labels[id] === b.labels[id]);
}

/** New work, with the old kept to come back to; steps of one gesture keep only the state before its first. */
function record(
  state: AppState,
  work: Work,
  gesture: string | null,
  besideId: string | null = null,
): AppState {
  const last = state.past.at(-1);
  const isSameGesture = gesture !== null && last?.gesture === gesture;
  const past = isSameGesture
    ? state.past
    : [...state.past, { work: state.work, gesture, besideId }].slice(-HISTORY_LIMIT);
  return { ...state, work, past, future: [], step: state.step + 1 };
}

function cancel(state: AppState, gesture: string): AppState {
  const last = state.past.at(-1);
  if (last?.gesture !== gesture) return state;
  return { ...state, work: last.work, past: state.past.slice(0, -1), step: state.step + 1 };
}

function undo(state: AppState): AppState {
  const last = state.past.at(-1);
  if (!last) return state;
  return showChangedTake(state, {
    ...state,
    work: last.work,
    past: state.past.slice(0, -1),
    future: [...state.future, { work: state.work, besideId: last.besideId }],
    step: state.step + 1,
  });
}

function redo(state: AppState): AppState {
  const next = state.future.at(-1);
  if (!next) return state;
  return showChangedTake(state, {
    ...state,
    work: next.work,
    past: [...state.past, { work: state.work, gesture: null, besideId: next.besideId }],
    future: state.future.slice(0, -1),
    step: state.step + 1,
  });
}

/** Undoing a label of a take that is not open opens it: nothing changes out of sight. */
function showChangedTake(before: AppState, after: AppState): AppState {
  const changed = Object.keys(after.work.labels).find(
    (id) => after.work.labels[id] !== before.work.labels[id],
  );
  if (changed === undefined || changed === after.takeId) return after;
  return openTake(after, changed, null, null);
}

function assertNever(action: never): never {
  throw new TypeError(`unknown action ${JSON.stringify(action)}`);
}
