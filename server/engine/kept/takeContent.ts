/**
 * What names all that can be worked out of a take, as hashes (SHA-256, lower-case hex): of its labels, and of the rest of
 * its document that any result rests on. Two takes of one content have the same columns and give the same results.
 */
export interface TakeContent {
  readonly signals: string;
  readonly labels: string;
}

/** Names and notes make no difference to what is worked out; labels have a hash of their own. All else, and what is added later, counts. */
const APART: ReadonlySet<string> = new Set([
  'id',
  'revision',
  'title',
  'performer',
  'drill',
  'notes',
  'prop',
  'day',
  'firmware',
  'sensor',
  'createdAt',
  'isDemo',
  'useUnfit',
  'labels',
]);

/** The texts that `TakeContent` holds the hashes of. @param document  a take's, as it lies on the disk or comes from the server. */
export function contentTexts(
  document: { readonly labels: unknown },
  labels = document.labels,
): { readonly signals: string; readonly labels: string } {
  const rest = Object.entries(document).filter(([name]) => !APART.has(name));
  rest.sort(([a], [b]) => (a < b ? -1 : 1));
  return { signals: JSON.stringify(rest), labels: JSON.stringify(labels) };
}

export function isSameContent(a: TakeContent | null, b: TakeContent | null): boolean {
  return a !== null && b !== null && a.signals === b.signals && a.labels === b.labels;
}
