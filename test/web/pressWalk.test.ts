import { beforeEach, describe, expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { stepThroughHistory } from '../../web/state/history.ts';
import {
  centreView,
  choosePress,
  labelChosenPress,
  stepPress,
  zoomToPress,
} from '../../web/state/labelling.ts';
import { addMarked, confirmChosen, confirmProposed, isProposedStray } from '../../web/state/labelWalk.ts';
import { notices } from '../../web/state/notices.ts';
import { type OpenTake, powerPresses, takeStatus } from '../../web/state/openTake.ts';
import { dispatch, sight, stepsTaken } from '../../web/state/store.ts';
import { intents, load, look, openSwingingTake, viewS } from './swingingTake.ts';

let take: OpenTake;
beforeEach(() => {
  take = openSwingingTake();
});

describe('a walk through presses', () => {
  test('begins at the ends of a take that is all in sight, goes round, and leaves the view', () => {
    stepPress(1);
    expect(sight.pressIndex.value).toBe(0);
    stepPress(-1);
    expect(sight.pressIndex.value).toBe(2);
    stepPress(1);
    expect(sight.pressIndex.value).toBe(0);
    dispatch({ type: 'pressChosen', pressIndex: null });
    stepPress(-1);
    expect([sight.pressIndex.value, sight.window.value]).toEqual([2, null]);
  });

  test.each([
    [1, 2.2, 3.2, 1],
    [-1, 2.2, 3.2, 0],
    [1, 2, 3, 0],
    [-1, 3, 4, 1],
    [1, 6, 7, 0],
    [-1, 0.5, 1, 2],
  ] as const)(
    'by %d from a view of %d to %d s it chooses press %d and centres on it',
    (by, from, to, press) => {
      look(from, to);
      stepPress(by);
      const middleS = powerPresses.value[press]!.downUs / 1e6;
      expect(sight.pressIndex.value).toBe(press);
      const [start, end] = viewS()!;
      expect([(start! + end!) / 2, end! - start!]).toEqual([
        expect.closeTo(middleS, 6),
        expect.closeTo(to - from, 6),
      ]);
    },
  );

  test('is none without presses or without a take', () => {
    takeStatus.value = { kind: 'open', take: { ...take, document: { ...take.document, presses: [] } } };
    stepPress(1);
    takeStatus.value = { kind: 'none' };
    stepPress(1);
    expect(sight.pressIndex.value).toBe(null);
  });

  test('a press is chosen with the view as it is, or with three seconds about it', () => {
    choosePress(1);
    expect([sight.pressIndex.value, sight.window.value]).toEqual([1, null]);
    zoomToPress(2);
    expect([sight.pressIndex.value, viewS()]).toEqual([2, [2.52, 5.52]]);
  });

  test('a view keeps its length about another moment, is widened to the least, and stays within the take', () => {
    look(1, 2);
    centreView(5e6, 4e6, 0.5e6);
    expect(viewS()).toEqual([4.5, 5.5]);
    centreView(5e6, 4e6, 2e6);
    expect(viewS()).toEqual([4, 6]);
    centreView(7.5e6, null);
    expect(viewS()).toEqual([6, 8]);
  });
});

describe('the chosen press', () => {
  test('gets a label, another one in its place, and none when given the same again', () => {
    labelChosenPress('wanted');
    expect(intents()).toEqual([]);
    choosePress(1);
    labelChosenPress('wanted');
    labelChosenPress('stray');
    expect(intents()).toEqual(['stray by person']);
    labelChosenPress('stray');
    expect(intents()).toEqual([]);
  });

  test('that a simulation has labelled gets the person’s label over the same one', () => {
    load({
      ...EMPTY_LABELS,
      presses: [{ downUs: 2_500_000, button: 'power', intent: 'stray', by: 'simulation' }],
    });
    choosePress(0);
    labelChosenPress('stray');
    expect(intents()).toEqual(['stray by simulation', 'stray by person']);
  });

  test('is confirmed as the stray one that it is proposed as, and the next proposed one is chosen', () => {
    choosePress(1);
    confirmChosen();
    expect([intents(), sight.pressIndex.value]).toEqual([['stray by person'], 2]);
    confirmChosen();
    expect(sight.pressIndex.value).toBe(0);
    confirmChosen();
    expect([intents().length, sight.pressIndex.value]).toEqual([3, 0]);
    const before = stepsTaken.value;
    confirmChosen();
    expect(stepsTaken.value).toBe(before);
  });

  test('is proposed only as its own button’s at its own moment', () => {
    const [press] = powerPresses.value;
    expect(isProposedStray(press!)).toBe(true);
    expect(isProposedStray({ ...press!, button: 'aux' })).toBe(false);
    expect(isProposedStray({ ...press!, downUs: 1 })).toBe(false);
  });
});

describe('a step through the history', () => {
  beforeEach(() => {
    choosePress(1);
    labelChosenPress('wanted');
    dispatch({ type: 'pressChosen', pressIndex: null });
  });

  test('chooses the press that it changes, and tells of it in one notice', () => {
    stepThroughHistory('undone');
    expect([sight.pressIndex.value, notices.value.map(({ text }) => text)]).toEqual([
      1,
      ['Undone: press 2 has no label.'],
    ]);
    stepThroughHistory('redone');
    expect(notices.value.map(({ text }) => text)).toEqual(['Done again: press 2 is wanted.']);
  });

  test('of several presses, or of labels of the traces, chooses none', () => {
    confirmProposed('strays');
    stepThroughHistory('undone');
    expect(notices.value[0]!.text).toBe('Undone: labels of 2 presses.');
    addMarked('still', { startUs: 0, endUs: 1e6 });
    stepThroughHistory('undone');
    expect([notices.value[0]!.text, sight.pressIndex.value]).toEqual([
      'Undone: a label of the traces.',
      null,
    ]);
  });

  test('of a candidate, or where there is none to take, tells nothing', () => {
    dispatch({ type: 'candidatesSwapped' });
    stepThroughHistory('undone');
    stepThroughHistory('redone');
    stepThroughHistory('redone');
    expect(notices.value).toEqual([]);
  });
});
