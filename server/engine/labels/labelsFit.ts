import type { Press } from '../base/log.ts';
import type { Labels, PressLabel } from './labels.ts';

/** A labelled press belongs to the press of the log that goes down within this time of it. */
const SAME_PRESS_US = 25_000;

/** The labels that fit a take, and a count of those that do not; null where all do. */
export interface FittedLabels {
  readonly labels: Labels;
  readonly leftOut: LabelsLeftOut | null;
}

/** Numbers of labels that do not fit a take, by reason. */
export interface LabelsLeftOut {
  /** Labels of a button that the take has, but of no press in it. */
  readonly noSuchPress: number;
  /** Labels of a button that the take does not have. */
  readonly noSuchButton: number;
  readonly unknownButtons: readonly string[];
  readonly knownButtons: readonly string[];
  readonly beyondEnd: number;
  /** Labels of a stretch of which no row is left. */
  readonly emptied: number;
}

/**
 * Labels without presses that a take does not hold, and without stretches that begin after its end.
 * @param before  the labels from which these were made, where some of them were lost on the way
 */
export function fitToTake(
  labels: Labels,
  presses: readonly Press[],
  durationUs: number,
  before: Labels = labels,
): FittedLabels {
  const { labels: moved, strangers } = fitToPresses(labels, presses);
  const inside = <T extends { readonly startUs: number }>(list: readonly T[]) =>
    list.filter(({ startUs }) => startUs <= durationUs);
  const fitting: Labels = {
    presses: moved.presses,
    spans: inside(moved.spans),
    swings: inside(moved.swings),
    gestures: inside(moved.gestures ?? []),
  };
  const knownButtons = [...new Set(presses.map(({ button }) => button))];
  const unknown = strangers.map(({ button }) => button).filter((button) => !knownButtons.includes(button));
  const leftOut: LabelsLeftOut = {
    noSuchPress: strangers.length - unknown.length,
    noSuchButton: unknown.length,
    unknownButtons: [...new Set(unknown)],
    knownButtons,
    beyondEnd: countLabels(moved) - countLabels(fitting),
    emptied: countLabels(before) - countLabels(labels),
  };
  return { labels: fitting, leftOut: countLabels(fitting) < countLabels(before) ? leftOut : null };
}

/** Number of labels of all kinds. */
export function countLabels({ presses, spans, swings, gestures = [] }: Labels): number {
  return presses.length + spans.length + swings.length + gestures.length;
}

/** Press labels moved onto the presses of a take, and apart from them the labels that fit no press. */
export function fitToPresses(
  labels: Labels,
  presses: readonly Press[],
): { readonly labels: Labels; readonly strangers: readonly PressLabel[] } {
  const fitting: PressLabel[] = [];
  const strangers: PressLabel[] = [];
  for (const label of labels.presses) {
    const press = nearest(presses, label);
    if (press === null) strangers.push(label);
    else fitting.push({ ...label, downUs: press.downUs });
  }
  return { labels: { ...labels, presses: fitting }, strangers };
}

function nearest(presses: readonly Press[], { button, downUs }: PressLabel): Press | null {
  let best: Press | null = null;
  for (const press of presses) {
    const distanceUs = Math.abs(press.downUs - downUs);
    if (press.button !== button || distanceUs > SAME_PRESS_US) continue;
    if (best === null || distanceUs < Math.abs(best.downUs - downUs)) best = press;
  }
  return best;
}
