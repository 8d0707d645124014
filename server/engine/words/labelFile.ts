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
  refuseOtherFiles(text);
  const read = /^\uFEFF?\s*[{[]/.test(text) ? parseLabelsJson(text) : parseLabelsCsv(text);
  const fitted = fitToTake(read, presses, durationUs);
  const leftOut = fitted.leftOut && leftOutText(fitted.leftOut);
  if (countLabels(fitted.labels) === 0)
    throw new LabelsError(`no label in it fits this take. ${leftOut ?? 'It holds none.'}`);
  return { labels: fitted.labels, leftOut };
}

const OTHER_FILES: readonly (readonly [start: string, what: string])[] = [
  ['%PDF-', 'this is a PDF file: labels come as JSON, or as a table in CSV'],
  ['PK\u0003\u0004', 'this is a ZIP file or a spreadsheet: unpack it, or save its sheet as CSV'],
];

/** Files that are often taken by mistake; what holds zero bytes is no text at all. */
function refuseOtherFiles(text: string): void {
  const [, what] = OTHER_FILES.find(([start]) => text.startsWith(start)) ?? [];
  if (what !== undefined) throw new LabelsError(what);
  if (text.includes('\0'))
    throw new LabelsError('this is no text file: labels come as JSON, or as a table in CSV');
}
