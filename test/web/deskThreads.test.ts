import { describe, expect, test } from 'vitest';
import type { JobTake } from '../../web/sweep/jobs.ts';
import type { FoundPiece } from '../../web/sweep/piece.ts';
import { threadsFor } from '../../web/takes/threads.ts';
import {
  answer,
  ask,
  asked,
  check,
  ended,
  PIECE,
  settle,
  sweep,
  tally,
  threads,
  underWay,
  useDesk,
} from './fakeThreads.ts';

describe('the pieces of a sweep', () => {
  useDesk();

  test('are found by other threads, and handed on', async () => {
    const found: FoundPiece = { doubts: [], value: 'a map' };
    await ask(sweep, { urgency: 'view' });
    const { thread, id } = underWay('sweep undefined');
    const find = (place: number, takeId: string) =>
      thread.tell({ type: 'find', id, place, take: { id: takeId } as JobTake, piece: PIECE });
    find(7, 'w');
    find(8, 'x');
    await settle();
    const finder = underWay('piece w');
    expect(finder.thread).not.toBe(thread);
    finder.thread.tell({ type: 'done', id: finder.id, value: found });
    await settle();
    expect(thread.sent.at(-1)).toEqual({ type: 'found', place: 7, found });
    const second = underWay('piece x');
    second.thread.tell({ type: 'failed', id: second.id, message: 'its columns are gone' });
    await settle();
    expect(thread.sent.at(-1)).toEqual({ type: 'found', place: 8, found: 'its columns are gone' });
  });

  test('are no longer asked for once it is cancelled', async () => {
    const stopped = new AbortController();
    await ask(sweep, { urgency: 'view', signal: stopped.signal });
    const { thread, id } = underWay('sweep undefined');
    for (const [place, takeId] of ['w', 'x'].entries())
      thread.tell({ type: 'find', id, place, take: { id: takeId } as JobTake, piece: PIECE });
    await settle();
    stopped.abort();
    await answer('piece w');
    expect(asked()).toEqual(['piece w']);
    expect(thread.sent.at(-1)).toMatchObject({ type: 'found', place: 0 });
    expect(thread.sent).toContainEqual({ type: 'found', place: 1, found: 'stopped' });
  });
});

describe('the desk with three threads', () => {
  useDesk(3);

  test('works on three takes at once, and gives what is next to whoever is free first', async () => {
    for (const id of ['v', 'w', 'x', 'y', 'z']) await ask(tally(id), { urgency: 'view' });
    expect(asked()).toEqual(['tally v', 'tally w', 'tally x']);
    await answer('tally w');
    await answer('tally x');
    expect(new Set(asked())).toEqual(new Set(['v', 'w', 'x', 'y', 'z'].map((id) => `tally ${id}`)));
    expect(threads).toHaveLength(3);
    expect(ended).toEqual(['tally w: answered', 'tally x: answered']);
  });

  test('checks and other work over many takes share them, and neither waits for the other alone', async () => {
    for (const id of ['v', 'w', 'x', 'y']) await ask(check(id), { urgency: 'view' });
    expect(asked()).toEqual(['check v', 'check w', 'check x']);
    await ask(tally('v'), { urgency: 'view' });
    await ask(tally('w'), { urgency: 'view' });
    expect(asked().slice(3)).toEqual(['tally v']);
    await answer('check v');
    expect(asked().slice(3)).toEqual(['tally v']);
    await answer('check w');
    expect(asked()).toContain('tally w');
  });

  test('ends the thread of the least urgent check for one that is more urgent', async () => {
    await ask(check('v'), { urgency: 'view' });
    await ask(check('w'), { urgency: 'view' });
    await ask(check('x'), { urgency: 'view' });
    await ask(check('y'), { urgency: 'open' });
    expect(asked().at(-1)).toBe('check y');
    expect(threads.filter(({ isEnded }) => isEnded)).toHaveLength(1);
    await answer('check y');
    expect(asked()).toHaveLength(5);
    expect(asked().at(-1)).toBe('check x');
  });
});

test.each([
  [undefined, 1],
  [1, 1],
  [2, 1],
  [4, 3],
  [64, 8],
])('with %s cores there are %i threads for many takes', (cores, threads) => {
  expect(threadsFor(cores)).toBe(threads);
});
