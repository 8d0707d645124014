import { describe, expect, test } from 'vitest';
import { EMPTY_LABELS, intentOf, type Labels } from '../../server/engine/labels/labels.ts';
import { addSpan, confirmItem, type LabelItem } from '../../server/engine/labels/labelsEdit.ts';
import { parseClock } from '../../web/panels/labels/clock.ts';
import { gesturePath, swingPath } from '../../web/panels/labels/labelShapes.ts';
import { changedPresses, labelChange } from '../../web/state/history.ts';
import { withIntent } from '../../web/state/labelling.ts';
import { INITIAL_STATE, update } from '../../web/state/update.ts';

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

  test('a step through the history tells which press it changed, and to what', () => {
    const said = withIntent(known, press, 'stray');
    expect(changedPresses(presses, said, known)).toEqual([0]);
    expect(labelChange(presses, [0], known)).toBe('press 1 is wanted');
    expect(labelChange(presses, [0], EMPTY_LABELS)).toBe('press 1 has no label');
    expect(labelChange(presses, [0, 1], said)).toBe('labels of 2 presses');
    expect(changedPresses(presses, known, withIntent(known, press, 'wanted'))).toEqual([]);
  });
});

describe('undo and redo of labels', () => {
  const changed = (state: typeof INITIAL_STATE, after: Labels) =>
    update(state, { type: 'labelsChanged', takeId: 't', labels: after });
  const open = update(update(INITIAL_STATE, { type: 'takeOpened', takeId: 't' }), {
    type: 'labelsLoaded',
    takeId: 't',
    labels: EMPTY_LABELS,
  });
  const drawn = addSpan(EMPTY_LABELS, 'spinning', { startUs: 5, endUs: 50 });
  const swing: LabelItem = {
    what: 'swing',
    label: { startUs: 6, peakUs: 7, endUs: 9, by: 'program' },
    isProposed: true,
  };
  const confirmed = confirmItem(drawn, swing);

  test('each drawn span and each confirmed swing is one step back, and one forth', () => {
    const after = changed(changed(open, drawn), confirmed);
    const back = update(after, { type: 'undone' });
    expect(back.work.labels['t']).toBe(drawn);
    expect(update(back, { type: 'undone' }).work.labels['t']).toBe(EMPTY_LABELS);
    expect(update(back, { type: 'redone' }).work.labels['t']).toBe(confirmed);
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
  test('arcs nearer than a pixel and a half are drawn as one', () => {
    const count = (width: number) =>
      swingPath([swing(0), swing(10), swing(20)], window, width, 0, 10).split('M').length - 1;
    expect(count(1000)).toBe(3);
    expect(count(100)).toBe(2);
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
