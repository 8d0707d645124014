import { expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../../server/engine/labels/labels.ts';
import { logTexts, takeLogText } from '../../../server/engine/labels/logTexts.ts';

const SPANS = [
  { startUs: 0, endUs: 2_000_000, text: 'rest' },
  { startUs: 2_000_000, endUs: 9_000_000, text: 'Spin left' },
  { startUs: 9_000_000, endUs: 9_500_000, text: 'dreh' },
  { startUs: 9_500_000, endUs: 14_000_000, text: 'Spin left' },
];

test('texts of a column stand once each, with their stretches, their time, and what English words mean', () => {
  const found = logTexts(SPANS, EMPTY_LABELS);
  expect(
    found.map(({ text, spans, totalUs, kind, isTaken }) => [text, spans.length, totalUs, kind, isTaken]),
  ).toEqual([
    ['rest', 1, 2_000_000, 'still', false],
    ['Spin left', 2, 11_500_000, 'spinning', false],
    // What another language's word means, only a person can say.
    ['dreh', 1, 500_000, null, false],
  ]);
});

test('a text that is taken becomes a person’s labels, one a stretch, and others stay', () => {
  const [, spin] = logTexts(SPANS, EMPTY_LABELS);
  const labels = takeLogText(EMPTY_LABELS, spin!, 'spinning');
  expect(labels.spans).toEqual([
    { startUs: 2_000_000, endUs: 9_000_000, kind: 'spinning', by: 'person' },
    { startUs: 9_500_000, endUs: 14_000_000, kind: 'spinning', by: 'person' },
  ]);
  expect(logTexts(SPANS, labels).map(({ isTaken }) => isTaken)).toEqual([false, true, false]);
});

test('a label over a part of a stretch leaves it to be taken', () => {
  const labels = takeLogText(EMPTY_LABELS, { spans: [{ startUs: 0, endUs: 1_999_999 }] }, 'still');
  expect(logTexts(SPANS, labels)[0]!.isTaken).toBe(false);
});

test('a text that means a gesture becomes gestures', () => {
  const hits = [{ startUs: 1, endUs: 2, text: 'hit' }];
  const [hit] = logTexts(hits, EMPTY_LABELS);
  expect(takeLogText(EMPTY_LABELS, hit!, hit!.kind!).gestures).toEqual([
    { startUs: 1, endUs: 2, kind: 'hit', by: 'person' },
  ]);
});
