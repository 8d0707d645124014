import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS, intentOf, type Labels } from '../../server/engine/labels/labels.ts';
import type { LabelItem } from '../../server/engine/labels/labelsEdit.ts';
import { parseClock } from '../../web/panels/labels/clock.ts';
import { gesturePath, swingPath } from '../../web/panels/labels/labelShapes.ts';
import { withIntent } from '../../web/state/labelling.ts';

const presses = [
  { button: 'power', downUs: 1_000_000, upUs: null },
  { button: 'power', downUs: 2_000_000, upUs: null },
];

describe('a press labelled by a person over what a simulation knows', () => {
  const known: Labels = {
    ...EMPTY_LABELS,
    presses: [{ downUs: 1_000_000, button: 'power', intent: 'wanted', by: 'simulation' }],
  };
  const press = presses[0]!;

  test('the person’s label counts, and taken away it leaves the simulation’s', () => {
    const said = withIntent(known, press, 'stray');
    expect(intentOf(said, press)).toMatchObject({ intent: 'stray', by: 'person' });
    expect(intentOf(withIntent(said, press, 'unsure'), press)).toMatchObject({
      intent: 'unsure',
      by: 'person',
    });
    expect(withIntent(withIntent(said, press, 'unsure'), press, null)).toEqual(known);
  });
});

test.each([
  ['0:12.345', 12_345_000],
  ['1:02', 62_000_000],
  ['12,5', 12_500_000],
  [' 3 s ', 3_000_000],
  ['', null],
  ['-1', null],
  ['1:2:3', null],
  ['soon', null],
])('a time typed as %j is %j microseconds', (text, us) => expect(parseClock(text)).toBe(us));

describe('shapes of labels', () => {
  const window = { startUs: 0, endUs: 1000 };
  const swing = (startUs: number): LabelItem => ({
    what: 'swing',
    label: { startUs, peakUs: startUs + 5, endUs: startUs + 10, by: 'person' },
    isProposed: false,
  });
  test('an arc goes over its peak; where there is no room for an arc each, one goes from the first to the last', () => {
    const arcs = (width: number) => swingPath([swing(0), swing(10), swing(20)], window, width, 0, 10);
    expect(arcs(1000)).toBe('M0 10Q5 -10 10 10M10 10Q15 -10 20 10M20 10Q25 -10 30 10');
    expect(arcs(200)).toBe('M0 10Q2 -10 4 10M4 10Q5 -10 6 10');
    expect(arcs(100)).toBe('M0 10Q1.5 -10 3 10');
  });
  test('the three gestures have three shapes', () => {
    const path = (kind: 'thrust' | 'hit' | 'twist') =>
      gesturePath(
        kind,
        [{ what: 'gesture', label: { startUs: 0, endUs: 10, kind, by: 'person' }, isProposed: false }],
        window,
        100,
        5,
      );
    expect(new Set([path('thrust'), path('hit'), path('twist')]).size).toBe(3);
  });
});
