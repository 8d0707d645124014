import type { Press } from '../base/log.ts';
import type { Labels } from './labels.ts';
import { parseLabelsCsv } from './labelsCsv.ts';
import { parseLabelsJson } from './labelsJson.ts';
import { fitToPresses, LabelsError } from './labelsRead.ts';

/** What of a file of labels fits a take, and a sentence about what does not. */
export interface FittedLabels {
  readonly labels: Labels;
  readonly leftOut: string | null;
}

/**
 * Labels of a file, as far as they belong to a take: presses that it does not hold and stretches that begin after its end
 * are left out. The text says itself whether it is JSON.
 * @throws LabelsError  where it holds no labels, or none that fits
 */
export function fitLabels(text: string, presses: readonly Press[], durationUs: number): FittedLabels {
  const read = /^\uFEFF?\s*[{[]/.test(text) ? parseLabelsJson(text) : parseLabelsCsv(text);
  const fitted = fitToTake(read, presses, durationUs);
  if (countLabels(fitted.labels) === 0)
    throw new LabelsError(`no label in it fits this take. ${fitted.leftOut ?? 'It holds none.'}`);
  return fitted;
}

/**
 * Labels as far as they belong to a take: presses that it does not hold and stretches that begin after its end are left out.
 * @param before  the labels from which these were made, where some of them were lost on the way
 */
export function fitToTake(
  own: Labels,
  presses: readonly Press[],
  durationUs: number,
  before: Labels = own,
): FittedLabels {
  const { labels, strangers } = fitToPresses(own, presses);
  const inside = <T extends { readonly startUs: number }>(list: readonly T[]) =>
    list.filter(({ startUs }) => startUs <= durationUs);
  const fitting: Labels = {
    presses: labels.presses,
    spans: inside(labels.spans),
    swings: inside(labels.swings),
    gestures: inside(labels.gestures ?? []),
  };
  const beyond = countLabels(labels) - countLabels(fitting);
  const empty = countLabels(before) - countLabels(own);
  const parts = [
    ...strangerParts(
      strangers.map(({ button }) => button),
      [...new Set(presses.map(({ button }) => button))],
    ),
    ...(beyond > 0 ? [`${many(beyond)} beyond the end of the take`] : []),
    ...(empty > 0 ? [`${many(empty)} of a stretch of which no row is left`] : []),
  ];
  return { labels: fitting, leftOut: parts.length === 0 ? null : `Left out: ${parts.join('; ')}.` };
}

/** How many labels there are, of all kinds. */
export function countLabels({ presses, spans, swings, gestures = [] }: Labels): number {
  return presses.length + spans.length + swings.length + gestures.length;
}

/** @param strangers  the buttons of labels whose press the take does not hold. @param own  the buttons that it has */
function strangerParts(strangers: readonly string[], own: readonly string[]): string[] {
  const lost = strangers.filter((button) => own.includes(button)).length;
  const foreign = [...new Set(strangers)].filter((button) => !own.includes(button));
  const has =
    own.length === 0 ? 'none is pressed' : `${quoted(own)} ${own.length === 1 ? 'is' : 'are'} pressed`;
  return [
    ...(lost > 0
      ? [`${many(lost)} of ${lost === 1 ? 'a press' : 'presses'} that this take does not hold`]
      : []),
    ...(foreign.length > 0
      ? [`${many(strangers.length - lost)} of the button ${quoted(foreign)}, while in this take ${has}`]
      : []),
  ];
}

function quoted(names: readonly string[]): string {
  return names.map((name) => `“${name}”`).join(', ');
}

function many(count: number): string {
  return `${count} ${count === 1 ? 'label' : 'labels'}`;
}
