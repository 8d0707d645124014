import { FORMATS } from '../base/fileKind.ts';
import type { Labels } from './labels.ts';
import { LABELS_VERSION } from './labelsRead.ts';

/** Labels as a JSON document that `parseLabelsJson` reads: format and version, and the take's title for whoever opens it. */
export function formatLabelsJson(labels: Labels, title: string): string {
  const { presses, spans, swings, gestures = [] } = labels;
  const head = { format: FORMATS.labels, version: LABELS_VERSION, take: title };
  return `${JSON.stringify({ ...head, labels: { presses, spans, swings, gestures } }, null, 1)}\n`;
}

export const TABLE_COLUMNS = ['what', 'kind', 'startUs', 'peakUs', 'endUs', 'button', 'by'] as const;
export type TableColumn = (typeof TABLE_COLUMNS)[number];

/**
 * Labels as a table, one a row: `what` is press, span, swing or gesture; `kind` a press's intent, else the kind; a press
 * has no end. Source of the form: RFC 4180, with CRLF.
 */
export function formatLabelsCsv({ presses, spans, swings, gestures = [] }: Labels): string {
  const rows: Partial<Record<TableColumn, string | number>>[] = [
    ...presses.map(({ intent, downUs, button, by }) => {
      return { what: 'press', kind: intent, startUs: downUs, button, by };
    }),
    ...spans.map((span) => ({ what: 'span', ...span })),
    ...swings.map((swing) => ({ what: 'swing', ...swing })),
    ...gestures.map((gesture) => ({ what: 'gesture', ...gesture })),
  ];
  const lines = rows.map((row) => TABLE_COLUMNS.map((name) => cell(row[name] ?? '')).join(','));
  return [TABLE_COLUMNS.join(','), ...lines, ''].join('\r\n');
}

function cell(value: string | number): string {
  const text = String(value);
  return /[",;\t\r\n]|^\s|\s$|^\uFEFF/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
