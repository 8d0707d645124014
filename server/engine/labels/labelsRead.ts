import type { Press } from '../base/log.ts';
import { BELONGS, FORMATS, ownDocument } from '../base/ownFile.ts';
import { type SimulatedGestures, simulatedGestures } from './gesturesSimulated.ts';
import {
  GESTURE_KINDS,
  type GestureKind,
  type GestureLabel,
  type Intent,
  type LabelBy,
  type Labels,
  type PressLabel,
  type SpanLabel,
  type SwingLabel,
} from './labels.ts';

/** Labels that are none: the message names the place and what it should hold. */
export class LabelsError extends Error {
  constructor(message: string) {
    super(message);
    this.name = 'LabelsError';
  }
}

/** Of the document, where it states its format. */
export const LABELS_VERSION = 1;

/** The longest name of a span and of a button. */
export const LONGEST_KIND = 200;
export const LONGEST_BUTTON = 1000;

/** A labelled press is the one of the log that goes down within this time of it. */
const SAME_PRESS_US = 25_000;

const INTENTS: readonly Intent[] = ['wanted', 'stray', 'unsure'];
const MAKERS: readonly LabelBy[] = ['person', 'program', 'simulation'];

/**
 * Labels from a parsed JSON document: `{presses, spans, swings, gestures}`, alone or as the document's `labels`; each
 * list may be missing, and so may `format` and `version`. What does not say who made it is a person's, in a document that says `synthetic: true` the
 * simulation's; such a document may also give its gestures as `thrusts`, `hits` and `twists`.
 * @throws LabelsError
 */
export function readLabelsDocument(value: unknown): Labels {
  const document = asRecord(value, 'the document');
  checkFormat(document);
  const root = document['labels'] === undefined ? document : asRecord(document['labels'], 'labels');
  const by: LabelBy = document['synthetic'] === true ? 'simulation' : 'person';
  const list = (name: string) => entries(root[name], name);
  return {
    presses: list('presses').map(([entry, at]) => readPress(entry, at, by)),
    spans: list('spans').map(([entry, at]) => readSpan(entry, at, by)),
    swings: list('swings').map(([entry, at]) => readSwing(entry, at, by)),
    gestures: [
      ...list('gestures').map(([entry, at]) => readGesture(entry, at, by)),
      ...(document['synthetic'] === true ? readSimulated(document) : []),
    ],
  };
}

function checkFormat(document: Entry): void {
  if (ownDocument(document) === 'candidate') throw new LabelsError(BELONGS.candidate);
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

/** @param at  where the entry stands, for messages. @param by  whose it is where it does not say. */
export function readPress(entry: Entry, at: string, by: LabelBy): PressLabel {
  return {
    downUs: micros(entry, at, 'downUs'),
    button: text(entry, at, 'button', LONGEST_BUTTON),
    intent: oneOf(entry, at, 'intent', INTENTS),
    by: readBy(entry, at, by),
  };
}

export function readSpan(entry: Entry, at: string, by: LabelBy): SpanLabel {
  return { ...ends(entry, at), kind: text(entry, at, 'kind', LONGEST_KIND), by: readBy(entry, at, by) };
}

export function readSwing(entry: Entry, at: string, by: LabelBy): SwingLabel {
  const { startUs, endUs } = ends(entry, at);
  const peakUs = micros(entry, at, 'peakUs');
  if (!(peakUs >= startUs && peakUs <= endUs))
    throw new LabelsError(`${at}.peakUs must lie inside the swing`);
  return { startUs, endUs, peakUs, by: readBy(entry, at, by) };
}

export function readGesture(entry: Entry, at: string, by: LabelBy): GestureLabel {
  const kind: GestureKind = oneOf(entry, at, 'kind', GESTURE_KINDS);
  return { ...ends(entry, at), kind, by: readBy(entry, at, by) };
}

/** Press labels moved onto the presses of a take; those that fit none of them are told apart. */
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

function readSimulated(document: Entry): GestureLabel[] {
  const spans = (name: string) =>
    entries(document[name], name).map(([entry, at]) => ({ ...entry, ...ends(entry, at) }));
  const truth: SimulatedGestures = {
    thrusts: spans('thrusts'),
    hits: entries(document['hits'], 'hits').map(([entry, at]) => ({ timeUs: micros(entry, at, 'timeUs') })),
    twists: spans('twists'),
  };
  return simulatedGestures(truth);
}

function entries(list: unknown, name: string): [Entry, string][] {
  if (list === undefined) return [];
  if (!Array.isArray(list)) throw new LabelsError(`${name} must be a list`);
  return list.map((entry, i) => [asRecord(entry, `${name}[${i}]`), `${name}[${i}]`]);
}

function ends(entry: Entry, at: string): { startUs: number; endUs: number } {
  const startUs = micros(entry, at, 'startUs');
  const endUs = micros(entry, at, 'endUs');
  if (!(endUs > startUs)) throw new LabelsError(`${at}.endUs must come after startUs`);
  return { startUs, endUs };
}

function readBy(entry: Entry, at: string, fallback: LabelBy): LabelBy {
  return entry['by'] === undefined ? fallback : oneOf(entry, at, 'by', MAKERS);
}

function oneOf<T extends string>(entry: Entry, at: string, name: string, values: readonly T[]): T {
  const found = values.find((value) => value === entry[name]);
  if (found !== undefined) return found;
  const choices = `${values.slice(0, -1).join(', ')} or ${values.at(-1)}`;
  throw new LabelsError(`${at}.${name} must be ${choices}, got ${JSON.stringify(entry[name]) ?? 'nothing'}`);
}

function text(entry: Entry, at: string, name: string, longest: number): string {
  const value = entry[name];
  if (typeof value !== 'string' || value === '' || value.length > longest)
    throw new LabelsError(`${at}.${name} must be text of 1 to ${longest} characters`);
  return value;
}

function micros(entry: Entry, at: string, name: string): number {
  const value = entry[name];
  if (!Number.isSafeInteger(value) || (value as number) < 0)
    throw new LabelsError(`${at}.${name} must be a whole number of µs from the take’s start`);
  return value as number;
}

function asRecord(value: unknown, at: string): Entry {
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value as Entry;
  throw new LabelsError(`${at} must be an object`);
}
