import { describe, expect, test } from 'vitest';
import { contentTexts, isSameContent } from '../../../server/engine/kept/takeContent.ts';
import { EMPTY_LABELS, type Labels } from '../../../server/engine/labels/labels.ts';

const STRAY: Labels = {
  ...EMPTY_LABELS,
  presses: [{ downUs: 5, button: 'power', intent: 'stray', by: 'person' }],
};
const document = {
  id: 'a',
  revision: 3,
  title: 'Slow figure-eight',
  performer: 'Beginner',
  calibration: { leverArmM: 0.2 },
  presses: [{ button: 'power', downUs: 5, upUs: null }],
  labels: STRAY,
};

describe('what names the content of a take', () => {
  test('names, notes and the count of changes make no difference', () => {
    const renamed = {
      ...document,
      id: 'b',
      revision: 9,
      title: 'Another',
      performer: 'Lead spinner',
      drill: 'reversals',
      notes: 'windy',
      prop: 'long one',
      day: '2026-11-30',
      firmware: '2',
      sensor: 'x',
      createdAt: '2026-11-30T00:00:00Z',
      isDemo: true,
      useUnfit: true,
    };
    expect(contentTexts(renamed)).toEqual(contentTexts(document));
  });

  test('labels change the hash of labels alone, all else that of the signals', () => {
    const { signals, labels } = contentTexts(document);
    expect(contentTexts(document, EMPTY_LABELS)).toEqual({ signals, labels: JSON.stringify(EMPTY_LABELS) });
    const others = [
      { ...document, calibration: { leverArmM: 0.3 } },
      { ...document, presses: [] },
      { ...document, deflectionButton: null },
      { ...document, somethingNew: 1 },
    ];
    const texts = others.map((one) => contentTexts(one));
    expect(new Set([signals, ...texts.map((one) => one.signals)]).size).toBe(others.length + 1);
    expect(texts.map((one) => one.labels)).toEqual(others.map(() => labels));
  });

  test('does not depend on the order in which a document was put together, and survives the way to the page', () => {
    const turned = Object.fromEntries(Object.entries(document).reverse()) as typeof document;
    expect(contentTexts(turned)).toEqual(contentTexts(document));
    expect(contentTexts(JSON.parse(JSON.stringify(document)))).toEqual(contentTexts(document));
  });

  test('what is not known is like nothing', () => {
    const content = { signals: 's', labels: 'l' };
    expect(isSameContent(content, { ...content })).toBe(true);
    expect(isSameContent(content, { ...content, labels: 'm' })).toBe(false);
    expect([isSameContent(null, null), isSameContent(content, null)]).toEqual([false, false]);
  });
});
