import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { Intent } from '../../server/engine/labels/labels.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { load, look, openSwingingTake, swingingTake, viewS } from './swingingTake.ts';

vi.hoisted(() => {
  Object.assign(globalThis, { matchMedia: () => ({ matches: false, addEventListener() {} }) });
});

import { firstPlace, showMoment, stepSample, stepTime, stepWrong } from '../../web/panels/replay/player.ts';
import { takeStatus } from '../../web/state/openTake.ts';
import { isPlaying, playheadUs } from '../../web/state/playhead.ts';
import { dispatch } from '../../web/state/store.ts';
import { shownWrongs } from '../../web/state/story.ts';

const at = () => (playheadUs.value === null ? null : playheadUs.value / 1e6);
const label = (downUs: number, intent: Intent) => ({
  downUs,
  button: 'power',
  intent,
  by: 'person' as const,
});

/** Swings from 2 s on at up to 400 °/s; presses at 2.5, 3.5 and 4.02 s. The guard of A closes at 240 °/s, that of B never. */
beforeEach(() => {
  const guard = { ...DEFAULT_CANDIDATE.guard, speedDps: 240, holdMs: 0 };
  const deflection = { ...DEFAULT_CANDIDATE.deflection, speedDps: 240 };
  const a = { ...DEFAULT_CANDIDATE, guard, deflection };
  dispatch({ type: 'candidatesLoaded', a, b: { ...a, guard: { ...guard, speedDps: 4000 } } });
  dispatch({ type: 'secondShown', show: true });
  dispatch({ type: 'windowMoved', window: null });
  openSwingingTake();
  load({
    ...EMPTY_LABELS,
    presses: [label(2.5e6, 'stray'), label(3.5e6, 'wanted'), label(4.02e6, 'stray')],
  });
  showMoment(0);
});

describe('steps', () => {
  test('by sample, from between two of them to the nearest in that direction, and not beyond the take', () => {
    const by = (steps: readonly (1 | -1)[]) => {
      for (const step of steps) stepSample(step);
      return at();
    };
    expect(by([1, 1, 1])).toBe(0.03);
    showMoment(35_000);
    expect(by([-1])).toBe(0.03);
    showMoment(35_000);
    expect(by([1])).toBe(0.04);
    showMoment(10_000);
    expect(by([-1, -1, -1])).toBe(0);
    showMoment(8e6);
    expect(by([1])).toBe(7.99);
  });

  test('by time stays within the take', () => {
    stepTime(-5e6);
    expect(at()).toBe(0);
    stepTime(9e6);
    expect(at()).toBe(8);
  });
});

test('a replay begins at the first wrong moment in sight, else where the view does, and at the chosen press before all', () => {
  expect(firstPlace()).toBe(2.5e6);
  look(3, 5);
  expect(firstPlace()).toBe(3.5e6);
  look(5, 6);
  expect(firstPlace()).toBe(5e6);
  dispatch({ type: 'pressChosen', pressIndex: 2 });
  expect(firstPlace()).toBe(4.02e6);
});

describe('jumps to wrong moments', () => {
  test('go through those of both candidates in time order, and round', () => {
    expect(shownWrongs.value.map(({ slot, kind, timeUs }) => `${slot} ${kind} ${timeUs / 1e6}`)).toEqual([
      'b strayLetThrough 2.5',
      'a wantedRefused 3.5',
      'a strayLetThrough 4.02',
      'b strayLetThrough 4.02',
    ]);
    const seen = [1, 1, 1, 1, -1, -1].map((by) => {
      stepWrong(by as 1 | -1);
      return at();
    });
    expect(seen).toEqual([2.5, 3.5, 4.02, 2.5, 4.02, 3.5]);
  });

  test('leave out the candidate that is not shown', () => {
    dispatch({ type: 'secondShown', show: false });
    stepWrong(1);
    expect(at()).toBe(3.5);
  });

  test('end what plays, and bring the moment into a zoomed view', () => {
    isPlaying.value = true;
    look(0, 1);
    stepWrong(1);
    expect(isPlaying.value).toBe(false);
    expect(viewS()).toEqual([2.4, 3.4]);
    stepTime(200_000);
    expect(viewS()).toEqual([2.4, 3.4]);
  });
});

test('a playhead belongs to its take', () => {
  showMoment(3e6);
  takeStatus.value = { kind: 'open', take: swingingTake('other') };
  expect(at()).toBeNull();
  showMoment(1e6);
  expect(at()).toBe(1);
});
