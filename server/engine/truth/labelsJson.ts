import type { Labels } from './labels.ts';
import { LabelsError, readLabelsDocument } from './labelsRead.ts';

/** Labels as a JSON document that `parseLabelsJson` reads, with the take's title for whoever opens it. */
export function formatLabelsJson(labels: Labels, title: string): string {
  const { presses, spans, swings, gestures = [] } = labels;
  return `${JSON.stringify({ take: title, labels: { presses, spans, swings, gestures } }, null, 1)}\n`;
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
