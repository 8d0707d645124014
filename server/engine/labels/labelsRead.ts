import { BELONGS, documentKindOf, FORMATS } from '../base/fileKind.ts';
import { type SimulatedGestures, simulatedGestures } from './gesturesSimulated.ts';
import {
  type GestureLabel,
  LABEL_FIELDS,
  type LabelBy,
  type LabelField,
  type LabelList,
  type LabelOf,
  type Labels,
} from './labels.ts';

/** Labels that are none: the message names the place and what it should hold. */
export class LabelsError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'LabelsError';
  }
}

/** Version of a document that states its format. */
export const LABELS_VERSION = 1;

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

/**
 * Labels from a parsed JSON document: `{presses, spans, swings, gestures}`, alone or as the document's `labels`; each list
 * may be missing, and so may `format` and `version`. A label that does not say who made it is a person's, and in a document
 * that says `synthetic: true` the simulation's; such a document may also give its gestures as `thrusts`, `hits` and
 * `twists`.
 * @throws LabelsError
 */
export function readLabelsDocument(value: unknown): Labels {
  const document = asRecord(value, 'the document');
  checkFormat(document);
  const root = document['labels'] === undefined ? document : asRecord(document['labels'], 'labels');
  const isSynthetic = document['synthetic'] === true;
  const labels = <List extends LabelList>(list: List): LabelOf<List>[] =>
    entries(root[list], list).map(([entry, at]) =>
      readLabel(list, entry, at, isSynthetic ? 'simulation' : 'person'),
    );
  return {
    presses: labels('presses'),
    spans: labels('spans'),
    swings: labels('swings'),
    gestures: [...labels('gestures'), ...(isSynthetic ? readSimulated(document) : [])],
  };
}

function checkFormat(document: Entry): void {
  const kind = documentKindOf(document);
  if (kind !== null && kind !== 'labels') throw new LabelsError(BELONGS[kind]);
  const { format, version } = document;
  // The number is that of a take's document, whose labels are read too.
  if (typeof format !== 'string') return;
  const shown = (found: unknown) => JSON.stringify(found) ?? 'nothing';
  if (format !== FORMATS.labels)
    throw new LabelsError(`format must be "${FORMATS.labels}", got ${shown(format)}`);
  if (version !== LABELS_VERSION)
    throw new LabelsError(
      `version must be ${LABELS_VERSION}, the one that is read here, got ${shown(version)}`,
    );
}

export type Entry = Readonly<Record<string, unknown>>;

/**
 * @param at  where the entry stands, for messages
 * @param by  whose it is where it does not say
 */
export function readLabel<List extends LabelList>(
  list: List,
  entry: Entry,
  at: string,
  by: LabelBy,
): LabelOf<List> {
  const fields = Object.entries<LabelField>(LABEL_FIELDS[list]);
  const label: Record<string, number | string> = Object.fromEntries(
    fields.map(([name, field]) => [name, readField({ by, ...entry }[name], field, `${at}.${name}`)]),
  );
  const { startUs = 0, peakUs = startUs, endUs = Number.POSITIVE_INFINITY } = label;
  if (endUs <= startUs) throw new LabelsError(`${at}.endUs must come after startUs`);
  if (peakUs < startUs || peakUs > endUs) throw new LabelsError(`${at}.peakUs must lie inside the swing`);
  return label as LabelOf<List>;
}

function readField(value: unknown, field: LabelField, at: string): number | string {
  if (field === 'us') return micros(value, at);
  if ('of' in field) {
    const found = field.of.find((word) => word === value);
    if (found !== undefined) return found;
    const choices = `${field.of.slice(0, -1).join(', ')} or ${field.of.at(-1)}`;
    throw new LabelsError(`${at} must be ${choices}, got ${JSON.stringify(value) ?? 'nothing'}`);
  }
  if (typeof value === 'string' && value !== '' && value.length <= field.longest) return value;
  throw new LabelsError(`${at} must be text of 1 to ${field.longest} characters`);
}

function micros(value: unknown, at: string): number {
  if (Number.isSafeInteger(value) && (value as number) >= 0) return value as number;
  throw new LabelsError(`${at} must be a whole number of µs from the take’s start`);
}

function readSimulated(document: Entry): GestureLabel[] {
  const spans = (name: string) =>
    entries(document[name], name).map(([entry, at]) => ({ ...entry, ...ends(entry, at) }));
  const truth: SimulatedGestures = {
    thrusts: spans('thrusts'),
    hits: entries(document['hits'], 'hits').map(([entry, at]) => ({
      timeUs: micros(entry['timeUs'], `${at}.timeUs`),
    })),
    twists: spans('twists'),
  };
  return simulatedGestures(truth);
}

function ends(entry: Entry, at: string): { startUs: number; endUs: number } {
  const { startUs, endUs } = readLabel('spans', { ...entry, kind: 'simulated' }, at, 'simulation');
  return { startUs, endUs };
}

function entries(list: unknown, name: string): [Entry, string][] {
  if (list === undefined) return [];
  if (!Array.isArray(list)) throw new LabelsError(`${name} must be a list`);
  return list.map((entry, i) => [asRecord(entry, `${name}[${i}]`), `${name}[${i}]`]);
}

function asRecord(value: unknown, at: string): Entry {
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value as Entry;
  throw new LabelsError(`${at} must be an object`);
}
