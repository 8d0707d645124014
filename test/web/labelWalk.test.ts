import { beforeEach, describe, expect, test } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { stepThroughHistory } from '../../web/state/history.ts';
import { changeLabels, choosePress } from '../../web/state/labelling.ts';
import {
  addMarked,
  chooseItem,
  chosenItem,
  confirmChosen,
  confirmProposed,
  confirmSpinsAndSwings,
  isConfirmed,
  labelItems,
  moveChosen,
  rejectChosen,
  stepItem,
  walkKind,
} from '../../web/state/labelWalk.ts';
import { notices } from '../../web/state/notices.ts';
import { openLabels, takeStatus } from '../../web/state/openTake.ts';
import { sight, stepsTaken } from '../../web/state/store.ts';
import { intents, load, look, openSwingingTake, viewS } from './swingingTake.ts';

beforeEach(() => void openSwingingTake());

const chosenAtS = () => (chosenItem.value ? chosenItem.value.label.startUs / 1e6 : null);
const swing = (startS: number, endS: number, peakS: number) => ({
  startUs: startS * 1e6,
  endUs: endS * 1e6,
  peakUs: peakS * 1e6,
  by: 'person' as const,
});

describe('a walk through swings', () => {
  test('centres a view of four seconds on each, and goes round', () => {
    stepItem(1);
    expect([chosenAtS(), viewS()]).toEqual([2.04, [0.5, 4.5]]);
    stepItem(-1);
    expect([chosenAtS(), viewS()]).toEqual([7.04, [4, 8]]);
    stepItem(1);
    stepItem(1);
    expect(chosenAtS()).toBe(3.04);
  });

  test('begins past the middle of the view; a chosen press puts the label aside, and the other way round', () => {
    look(4, 6);
    stepItem(1);
    expect(chosenAtS()).toBe(5.04);
    choosePress(1);
    expect(chosenItem.value).toBe(null);
    stepItem(1);
    expect([chosenAtS(), sight.pressIndex.value]).toEqual([6.04, null]);
  });

  test('a view shorter than the label is widened to show it all', () => {
    look(2.4, 2.6);
    stepItem(1);
    const [start, end] = viewS()!;
    expect(end! - start!).toBeCloseTo(1.4 * 0.92, 5);
  });

  test('of a kind that the take has none of says so', () => {
    walkKind.value = 'hit';
    stepItem(1);
    expect(notices.value.map(({ text }) => text)).toEqual(['No hit is labelled or proposed in this take.']);
    expect(chosenItem.value).toBe(null);
  });

  test('a confirmed one is a person’s, and the next unconfirmed one is chosen, at the end the first', () => {
    stepItem(-1);
    confirmChosen();
    expect([openLabels.value.swings, chosenAtS()]).toEqual([[swing(7.04, 7.96, 7.5)], 2.04]);
    confirmChosen();
    expect(chosenAtS()).toBe(3.04);
    chooseItem(labelItems.value.find(isConfirmed)!);
    const before = stepsTaken.value;
    confirmChosen();
    expect([stepsTaken.value, chosenAtS()]).toEqual([before, 3.04]);
  });

  test('the last one to confirm stays chosen', () => {
    chooseItem(labelItems.value.find(({ what }) => what === 'span')!);
    expect([walkKind.value, chosenAtS()]).toEqual(['still', 0.49]);
    confirmChosen();
    expect([chosenAtS(), isConfirmed(chosenItem.value!)]).toEqual([0.49, true]);
  });

  test('a rejected one is no swing any more', () => {
    rejectChosen();
    stepItem(1);
    rejectChosen();
    expect(openLabels.value.spans).toEqual([
      { startUs: 2_040_000, endUs: 2_960_000, kind: 'no swing', by: 'person' },
    ]);
    expect(chosenAtS()).toBe(3.04);
  });

  test('a moved one is a person’s, with its peak where the blade is fastest there; an empty stretch moves nothing', () => {
    moveChosen({ startUs: 1e6, endUs: 2e6 });
    stepItem(1);
    moveChosen({ startUs: 2.4e6, endUs: 2.4e6 });
    expect(openLabels.value.swings).toEqual([]);
    moveChosen({ startUs: 2.1e6, endUs: 2.4e6 });
    expect(openLabels.value.swings).toEqual([swing(2.1, 2.4, 2.4)]);
    expect([chosenAtS(), chosenItem.value?.isProposed]).toEqual([2.1, false]);
    moveChosen({ startUs: 2.1e6, endUs: 2.9e6 });
    expect(openLabels.value.swings).toEqual([swing(2.1, 2.9, 2.5)]);
  });

  test('a moved span has ends alone', () => {
    walkKind.value = 'still';
    stepItem(1);
    moveChosen({ startUs: 0, endUs: 1e6 });
    expect(openLabels.value.spans).toEqual([{ startUs: 0, endUs: 1e6, kind: 'still', by: 'person' }]);
  });
});

describe('a marked stretch', () => {
  test('is a swing with its peak, or a span, and is chosen', () => {
    addMarked('swing', { startUs: 3.1e6, endUs: 3.8e6 });
    expect([openLabels.value.swings, chosenAtS()]).toEqual([[swing(3.1, 3.8, 3.5)], 3.1]);
    addMarked('no swing', { startUs: 0, endUs: 1e6 });
    expect([openLabels.value.spans.length, chosenAtS(), walkKind.value]).toEqual([1, 0, 'no swing']);
  });

  test('as the first spin tells of the proposed ones that count no longer, and offers to confirm them', () => {
    addMarked('spinning', { startUs: 0, endUs: 1e6 });
    expect(notices.value.map(({ text }) => text)).toEqual([
      'Now only labelled spins count in this take: 1 proposed one does not any more.',
    ]);
    notices.value[0]!.action!.run();
    expect(openLabels.value.spans.map(({ startUs, by }) => [startUs / 1e6, by])).toEqual([
      [0, 'person'],
      [2.04, 'person'],
    ]);
  });

  test('counts as the first spin beside other labels of a person', () => {
    load({ ...EMPTY_LABELS, spans: [{ startUs: 0, endUs: 1, kind: 'still', by: 'person' }] });
    addMarked('spinning', { startUs: 0, endUs: 1e6 });
    expect(notices.value.length).toBe(1);
  });

  test.each([
    ['over all that is proposed', {}, 'spinning', 2e6, 8e6],
    ['of another kind', {}, 'still', 0, 1e6],
    [
      'as a second spin',
      { spans: [{ startUs: 0, endUs: 1, kind: 'spinning', by: 'person' as const }] },
      'spinning',
      5e5,
      1e6,
    ],
  ])('%s tells nothing', (_claim, labels, kind, startUs, endUs) => {
    load({ ...EMPTY_LABELS, ...labels });
    addMarked(kind, { startUs, endUs });
    expect(notices.value).toEqual([]);
  });
});

test('what is proposed of a kind is confirmed in one step, spins and swings together', () => {
  const before = stepsTaken.value;
  confirmProposed('strays');
  expect([intents().length, stepsTaken.value - before]).toEqual([3, 1]);
  confirmSpinsAndSwings();
  const { swings, spans } = openLabels.value;
  expect([swings.length, spans.length, stepsTaken.value - before]).toEqual([6, 1, 2]);
});

test('labels that are the same, or of no open take, are no step', () => {
  const before = stepsTaken.value;
  changeLabels(openLabels.value);
  takeStatus.value = { kind: 'none' };
  changeLabels({ ...EMPTY_LABELS });
  confirmProposed('strays');
  confirmSpinsAndSwings();
  confirmChosen();
  expect([stepsTaken.value, labelItems.value]).toEqual([before, []]);
  stepThroughHistory('undone');
  expect(notices.value).toEqual([]);
});
