import type { Labels } from '../../server/engine/truth/labels.ts';
import { parseLabelsCsv } from '../../server/engine/truth/labelsCsv.ts';
import { parseLabelsJson } from '../../server/engine/truth/labelsJson.ts';
import { fitToPresses } from '../../server/engine/truth/labelsRead.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';

/** What of a file of labels fits a take, and a sentence about what does not. */
export interface FittedLabels {
  readonly labels: Labels;
  readonly leftOut: string | null;
}

/**
 * Labels of a file, as far as they belong to a take: presses that it does not hold and stretches that begin after its end
 * are left out. The text says itself whether it is JSON.
 * @throws LabelsError
 */
export function fitLabels(text: string, presses: TakeDocument['presses'], durationUs: number): FittedLabels {
  const read = /^\uFEFF?\s*[{[]/.test(text) ? parseLabelsJson(text) : parseLabelsCsv(text);
  const { labels, strangers } = fitToPresses(read, presses);
  const inside = <T extends { readonly startUs: number }>(list: readonly T[]) =>
    list.filter(({ startUs }) => startUs <= durationUs);
  const fitting: Labels = {
    presses: labels.presses,
    spans: inside(labels.spans),
    swings: inside(labels.swings),
    gestures: inside(labels.gestures ?? []),
  };
  const beyond = counted(labels) - counted(fitting);
  const parts = [
    ...(strangers.length > 0 ? [`${strangers.length} of presses that this take does not hold`] : []),
    ...(beyond > 0 ? [`${beyond} beyond the end of the take`] : []),
  ];
  return { labels: fitting, leftOut: parts.length === 0 ? null : `Left out: ${parts.join(', ')}.` };
}

/** How many labels there are, of all kinds. */
export function counted({ presses, spans, swings, gestures = [] }: Labels): number {
  return presses.length + spans.length + swings.length + gestures.length;
}
