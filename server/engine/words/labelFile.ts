import type { Press } from '../base/log.ts';
import type { Labels } from '../labels/labels.ts';
import { parseLabelsCsv } from '../labels/labelsCsv.ts';
import { countLabels, fitToTake } from '../labels/labelsFit.ts';
import { LabelsError, parseLabelsJson } from '../labels/labelsRead.ts';
import { leftOutText } from './labels.ts';

/** The labels of a file that fit a take, and a sentence about those that do not. */
export interface ImportedLabels {
  readonly labels: Labels;
  readonly leftOut: string | null;
}

/**
 * Labels of a file, as far as they belong to a take. The text says itself whether it is JSON or a table.
 * @throws LabelsError  where it holds no labels, or none that fits
 */
export function readLabelFile(text: string, presses: readonly Press[], durationUs: number): ImportedLabels {
  const read = /^\uFEFF?\s*[{[]/.test(text) ? parseLabelsJson(text) : parseLabelsCsv(text);
  const fitted = fitToTake(read, presses, durationUs);
  const leftOut = fitted.leftOut && leftOutText(fitted.leftOut);
  if (countLabels(fitted.labels) === 0)
    throw new LabelsError(`no label in it fits this take. ${leftOut ?? 'It holds none.'}`);
  return { labels: fitted.labels, leftOut };
}
