import { FORMATS } from '../base/ownFile.ts';
import type { Labels } from './labels.ts';
import { LABELS_VERSION, LabelsError, readLabelsDocument } from './labelsRead.ts';

/** Labels as a JSON document that `parseLabelsJson` reads: format and version, and the take's title for whoever opens it. */
export function formatLabelsJson(labels: Labels, title: string): string {
  const { presses, spans, swings, gestures = [] } = labels;
  const head = { format: FORMATS.labels, version: LABELS_VERSION, take: title };
  return `${JSON.stringify({ ...head, labels: { presses, spans, swings, gestures } }, null, 1)}\n`;
}

/** @throws LabelsError  if the text is no JSON or holds no labels; see `readLabelsDocument`. */
export function parseLabelsJson(text: string): Labels {
  let value: unknown;
  try {
    value = JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new LabelsError(`no JSON: ${(error as Error).message}`);
  }
  return readLabelsDocument(value);
}
