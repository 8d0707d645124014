import { beforeEach, describe, expect, test } from 'vitest';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { withIntent } from '../../web/state/labelling.ts';
import { openLabels, powerPresses } from '../../web/state/openTake.ts';
import { dispatch, sight } from '../../web/state/store.ts';
import { stepWrong, wrongPresses } from '../../web/state/wrongPresses.ts';
import { load, look, openSwingingTake, viewS } from './swingingTake.ts';

// The blade swings at 400 °/s at 2.5 and 3.5 s, and all but stands at 4.02 s: without a hold only that one is accepted.
beforeEach(() => {
  openSwingingTake();
  dispatch({
    type: 'candidateReplaced',
    slot: 'a',
    candidate: { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, speedDps: 240, holdMs: 0 } },
  });
  for (const [index, intent] of (['wanted', 'stray', 'stray'] as const).entries())
    load(withIntent(openLabels.peek(), powerPresses.peek()[index]!, intent));
});

describe('wrong presses', () => {
  test('are stray ones that are let through and wanted ones that are refused', () => {
    expect(wrongPresses.value).toEqual([0, 2]);
  });

  test('follow one another in time order, round, each with its dip in the middle of two seconds', () => {
    stepWrong(1);
    expect([sight.pressIndex.value, viewS()]).toEqual([0, [1.5, 3.5]]);
    stepWrong(1);
    expect(sight.pressIndex.value).toBe(2);
    expect(viewS()![0]).toBeCloseTo(3.02, 9);
    stepWrong(1);
    expect(sight.pressIndex.value).toBe(0);
    stepWrong(-1);
    expect(sight.pressIndex.value).toBe(2);
  });

  test('go on from the one that stands in the middle of the view though nobody chose it, as a take opens', () => {
    look(1.5, 3.5);
    stepWrong(1);
    expect(sight.pressIndex.value).toBe(2);
  });

  test('go on from the view where a right one is chosen', () => {
    dispatch({ type: 'pressChosen', pressIndex: 1 });
    look(2.6, 4.4);
    stepWrong(-1);
    expect(sight.pressIndex.value).toBe(0);
  });

  test('there is nowhere to go without any', () => {
    dispatch({
      type: 'candidateReplaced',
      slot: 'a',
      candidate: { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, speedDps: 500, holdMs: 0 } },
    });
    load(withIntent(openLabels.peek(), powerPresses.peek()[1]!, 'wanted'));
    load(withIntent(openLabels.peek(), powerPresses.peek()[2]!, 'wanted'));
    expect(wrongPresses.value).toEqual([]);
    stepWrong(1);
    expect([sight.pressIndex.value, viewS()]).toEqual([null, null]);
  });
});
