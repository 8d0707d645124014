import { readFileSync } from 'node:fs';
import type { Press } from '../engine/log.ts';
import type { LabelBy, Labels, PressLabel, SpanLabel, SwingLabel } from '../engine/truth/labels.ts';
import { DataError } from './io.ts';

/** A labelled press is the one of the log that goes down within this time of it. */
const SAME_PRESS_US = 25_000;

/**
 * Labels from a JSON file: `{presses, spans, swings}`, alone or as a document's `labels`. What does not say who made
 * it is a person's, in a document that says `synthetic: true` the simulation's.
 * @throws DataError  naming the file and the field that is missing or wrong
 */
export function readLabels(path: string, presses: readonly Press[]): Labels {
  const document = asRecord(readJson(path), path, '');
  const root = document.labels === undefined ? document : asRecord(document.labels, path, 'labels');
  const by: LabelBy = document.synthetic === true ? 'simulation' : 'person';
  const list = (name: string) => entries(root[name], path, name);
  return {
    presses: list('presses').flatMap(([entry, at]) => readPress(entry, at, by, presses)),
    spans: list('spans').map(
      ([entry, at]): SpanLabel => ({
        ...readSpan(entry, at),
        kind: text(entry, at, 'kind'),
        by: readBy(entry, at, by),
      }),
    ),
    swings: list('swings').map(
      ([entry, at]): SwingLabel => ({
        ...readSpan(entry, at),
        peakUs: micros(entry, at, 'peakUs'),
        by: readBy(entry, at, by),
      }),
    ),
  };
}

/** @throws DataError  where there is no such file or it holds no JSON */
export function readJson(path: string): unknown {
  let content: string;
  try {
    content = readFileSync(path, 'utf8');
  } catch (error) {
    throw new DataError(`${path} cannot be read (${(error as NodeJS.ErrnoException).code})`);
  }
  try {
    return JSON.parse(content.replace(/^\uFEFF/, ''));
  } catch (error) {
    throw new DataError(`${path} holds no JSON: ${(error as Error).message}`);
  }
}

type Entry = Readonly<Record<string, unknown>>;

function entries(list: unknown, path: string, name: string): [Entry, string][] {
  if (list === undefined) return [];
  if (!Array.isArray(list)) throw new DataError(`${path}: ${name} must be a list`);
  return list.map((entry, i) => [asRecord(entry, path, `${name}[${i}]`), `${path}: ${name}[${i}]`]);
}

function readPress(entry: Entry, at: string, by: LabelBy, presses: readonly Press[]): PressLabel[] {
  const intent = text(entry, at, 'intent');
  if (intent !== 'wanted' && intent !== 'stray' && intent !== 'unsure') {
    throw new DataError(`${at}.intent must be wanted, stray or unsure, got "${intent}"`);
  }
  const downUs = micros(entry, at, 'downUs');
  const button = text(entry, at, 'button');
  const near = presses.filter(
    (press) => press.button === button && Math.abs(press.downUs - downUs) <= SAME_PRESS_US,
  );
  near.sort((a, b) => Math.abs(a.downUs - downUs) - Math.abs(b.downUs - downUs));
  return near[0] ? [{ downUs: near[0].downUs, button, intent, by: readBy(entry, at, by) }] : [];
}

function readSpan(entry: Entry, at: string): { startUs: number; endUs: number } {
  const startUs = micros(entry, at, 'startUs');
  const endUs = micros(entry, at, 'endUs');
  if (!(endUs > startUs)) throw new DataError(`${at}.endUs must come after startUs`);
  return { startUs, endUs };
}

function readBy(entry: Entry, at: string, fallback: LabelBy): LabelBy {
  const { by } = entry;
  if (by === undefined) return fallback;
  if (by === 'person' || by === 'program' || by === 'simulation') return by;
  throw new DataError(`${at}.by must be person, program or simulation`);
}

function text(entry: Entry, at: string, name: string): string {
  const value = entry[name];
  if (typeof value !== 'string' || value === '') throw new DataError(`${at}.${name} must be text`);
  return value;
}

function micros(entry: Entry, at: string, name: string): number {
  const value = entry[name];
  if (typeof value !== 'number' || !Number.isFinite(value))
    throw new DataError(`${at}.${name} must be a number of us`);
  return value;
}

function asRecord(value: unknown, path: string, at: string): Entry {
  if (typeof value === 'object' && value !== null && !Array.isArray(value)) return value as Entry;
  throw new DataError(`${path}: ${at === '' ? 'the document' : at} must be an object`);
}
