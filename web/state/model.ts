import { GESTURE_MAPS } from '../../server/engine/choose/gestures/maps.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { View } from './views.ts';

/** The two candidates that stand side by side. */
export type Slot = 'a' | 'b';

/** What Sweep can show a map of, in the order of their tabs. */
export const SWEPT_MAPS = ['guard', 'deflection', ...GESTURE_MAPS] as const;

export type SweptMap = (typeof SWEPT_MAPS)[number];

/** The stretch of the take in sight. */
export interface TimeWindow {
  readonly startUs: number;
  readonly endUs: number;
}

/** What undo and redo cover. Labels are kept by take, so that undoing never touches the wrong one. */
export interface Work {
  readonly candidates: Readonly<Record<Slot, Candidate>>;
  readonly labels: Readonly<Record<string, Labels>>;
}

/** A point to come back to. Steps of one gesture (a drag, a held arrow key) share one entry. */
interface HistoryEntry {
  readonly work: Work;
  readonly gesture: string | null;
  /** Of a step that changed no work but something on the server; null for any other. See `noteBeside`. */
  readonly besideId: string | null;
}

/** A step that was taken back. */
type UndoneStep = Omit<HistoryEntry, 'gesture'>;

export interface AppState {
  readonly view: View;
  readonly takeId: string | null;
  /** null shows the whole take. */
  readonly window: TimeWindow | null;
  /** Nobody has said yet what of the take is to be in sight: Tune goes to what matters there. */
  readonly isWindowOpen: boolean;
  /** The candidate that the controls edit. */
  readonly slot: Slot;
  readonly showB: boolean;
  /** Index into the open take's presses of the power button. */
  readonly pressIndex: number | null;
  readonly work: Work;
  readonly past: readonly HistoryEntry[];
  readonly future: readonly UndoneStep[];
  /** Counts what the user did to the work, steps back and forth included. */
  readonly step: number;
}
