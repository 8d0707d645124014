import { describe, expect, test } from 'vitest';
import type { Action } from '../../web/state/update.ts';
import { INITIAL_STATE, update } from '../../web/state/update.ts';

const drag = (value: number, gesture: string | null = 'drag 1'): Action => ({
  type: 'settingChanged',
  slot: 'a',
  path: 'guard.speedDps',
  value,
  gesture,
});
const run = (...actions: Action[]) => actions.reduce(update, INITIAL_STATE);
const speed = (state: typeof INITIAL_STATE) => state.work.candidates.a.guard.speedDps;
const labels = (intent: 'wanted' | 'stray') => ({
  presses: [{ downUs: 5, button: 'power', intent, by: 'person' as const }],
  spans: [],
  swings: [],
});

describe('keeping a setting', () => {
  const kept: Action = { type: 'doneBeside', id: 'spinner' };
  test('is a step back of its own that leaves the work, and one forth again', () => {
    const after = run(drag(250), kept);
    expect(after.past.at(-1)!.besideId).toBe('spinner');
    const back = update(after, { type: 'undone' });
    expect([speed(back), back.past.at(-1)!.besideId, back.future.at(-1)!.besideId]).toEqual([
      250,
      null,
      'spinner',
    ]);
    expect(update(back, { type: 'redone' }).past.at(-1)!.besideId).toBe('spinner');
    expect(speed(update(back, { type: 'undone' }))).toBe(240);
  });
  test('stays a step where a take that is gone takes its own along', () => {
    const after = run(
      { type: 'labelsLoaded', takeId: 'gone', labels: labels('wanted') },
      { type: 'labelsChanged', takeId: 'gone', labels: labels('stray') },
      kept,
      { type: 'takeForgotten', takeId: 'gone' },
    );
    expect(after.past.map(({ besideId }) => besideId)).toEqual(['spinner']);
  });
});

describe('settings', () => {
  test('a drag is one step back, however many positions it passed', () => {
    const after = run(drag(250), drag(260), drag(270));
    expect(speed(after)).toBe(270);
    expect(speed(update(after, { type: 'undone' }))).toBe(240);
  });
  test('two drags are two steps back', () => {
    const after = run(drag(250, 'one'), drag(260, 'two'), { type: 'undone' });
    expect(speed(after)).toBe(250);
  });
  test('redo brings back what undo took', () => {
    expect(speed(run(drag(250), { type: 'undone' }, { type: 'redone' }))).toBe(250);
  });
  test('a new change forgets what could be redone', () => {
    const after = run(drag(250, 'one'), { type: 'undone' }, drag(300, 'two'), { type: 'redone' });
    expect(speed(after)).toBe(300);
  });
  test('Escape in a drag takes all of it back and leaves nothing to undo', () => {
    const after = run(drag(250), drag(260), { type: 'gestureCancelled', gesture: 'drag 1' });
    expect(speed(after)).toBe(240);
    expect(after.past).toHaveLength(0);
  });
  test('cancelling another gesture changes nothing', () => {
    const before = run(drag(250));
    expect(update(before, { type: 'gestureCancelled', gesture: 'drag 2' })).toBe(before);
  });
  test('the same value again is no change', () => {
    expect(update(INITIAL_STATE, drag(240))).toBe(INITIAL_STATE);
  });
  test('a value out of bounds is refused, not clipped', () => {
    expect(() => run(drag(-3))).toThrow(/guard\.speedDps/);
  });
  test('swapping candidates twice is where it began', () => {
    const after = run(drag(300), { type: 'candidatesSwapped' });
    expect(after.work.candidates.b.guard.speedDps).toBe(300);
    expect(update(after, { type: 'candidatesSwapped' }).work.candidates).toEqual(
      run(drag(300)).work.candidates,
    );
  });
});

test('whatever the user does to the work, back and forth too, counts as a step', () => {
  const steps: Action[] = [
    drag(250),
    { type: 'gestureCancelled', gesture: 'drag 1' },
    drag(260),
    { type: 'undone' },
    { type: 'redone' },
    { type: 'candidatesSwapped' },
  ];
  expect(steps.map((_, i) => run(...steps.slice(0, i + 1)).step)).toEqual([1, 2, 3, 4, 5, 6]);
});

describe('labels', () => {
  test('what the server sends leaves no history', () => {
    expect(run({ type: 'labelsLoaded', takeId: 't', labels: labels('wanted') }).past).toHaveLength(0);
  });
  test('what the server sends was there all along: a step back or forth leaves it', () => {
    const opened = run(
      drag(250),
      { type: 'undone' },
      { type: 'labelsLoaded', takeId: 't', labels: labels('wanted') },
    );
    const back = run(
      drag(250),
      { type: 'labelsLoaded', takeId: 't', labels: labels('wanted') },
      { type: 'undone' },
    );
    for (const after of [opened, back, update(opened, { type: 'redone' })])
      expect(after.work.labels['t']).toEqual(labels('wanted'));
    expect([speed(back), speed(update(opened, { type: 'redone' }))]).toEqual([240, 250]);
  });
  test('a take that is gone takes its steps along, and leaves the others', () => {
    const after = run(
      { type: 'labelsLoaded', takeId: 'gone', labels: labels('wanted') },
      { type: 'labelsLoaded', takeId: 'kept', labels: labels('wanted') },
      drag(250),
      { type: 'labelsChanged', takeId: 'gone', labels: labels('stray') },
      { type: 'labelsChanged', takeId: 'kept', labels: labels('stray') },
      { type: 'labelsChanged', takeId: 'gone', labels: labels('wanted') },
      { type: 'undone' },
      { type: 'takeForgotten', takeId: 'gone' },
    );
    expect([after.past.length, after.future.length]).toEqual([2, 0]);
    expect(Object.keys(after.work.labels)).toEqual(['kept']);
    const once = update(after, { type: 'undone' });
    expect(once.work.labels['kept']).toEqual(labels('wanted'));
    expect(speed(once)).toBe(250);
    expect(speed(update(once, { type: 'undone' }))).toBe(240);
  });
  test('undoing a label of a take that is not open opens it', () => {
    const after = run(
      { type: 'takeOpened', takeId: 'one' },
      { type: 'labelsLoaded', takeId: 'one', labels: labels('wanted') },
      { type: 'labelsChanged', takeId: 'one', labels: labels('stray') },
      { type: 'takeOpened', takeId: 'two' },
      { type: 'undone' },
    );
    expect(after.takeId).toBe('one');
    expect(after.work.labels['one']).toEqual(labels('wanted'));
  });
});

test('hiding B goes back to editing A', () => {
  const after = run({ type: 'slotChosen', slot: 'b' }, { type: 'secondShown', show: false });
  expect([after.slot, after.showB]).toEqual(['a', false]);
});
