import { describe, expect, test, vi } from 'vitest';
import type { JobTake } from '../../web/sweep/jobs.ts';
import type { FoundPiece } from '../../web/sweep/piece.ts';
import { threadsFor } from '../../web/takes/threads.ts';
import {
  answer,
  ask,
  asked,
  check,
  desk,
  ended,
  open,
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

describe('what a long take takes up', () => {
  useDesk();

  /** Its thread says that it has read a long one. */
  async function answerLong(name: string): Promise<void> {
    const { thread, id } = underWay(name);
    thread.tell({ type: 'done', id, value: 'answered', holdsMuch: true });
    await settle();
  }

  test('goes with the thread that opened or checked it, before the next one begins; another stays', async () => {
    await ask(open('x'), { urgency: 'open' });
    await ask(check('x'), { urgency: 'view' });
    await ask(check('y'), { urgency: 'view' });
    const [opener, checker] = [underWay('open x').thread, underWay('check x').thread];
    await answerLong('open x');
    expect(opener.isEnded).toBe(true);
    await answerLong('check x');
    // The one that goes on with what waits does not end for that.
    expect(underWay('check y').thread).toBe(checker);
    await answer('check y');
    expect(checker.isEnded).toBe(true);
    await ask(open('z'), { urgency: 'open' });
    await answer('open z');
    expect(threads.at(-1)!.isEnded).toBe(false);
  });

  test('stays a second for the next piece', async () => {
    await ask(tally('x'), { urgency: 'view' });
    const { thread } = underWay('tally x');
    await answerLong('tally x');
    await vi.advanceTimersByTimeAsync(999);
    expect(thread.isEnded).toBe(false);
    await vi.advanceTimersByTimeAsync(1);
    expect(thread.isEnded).toBe(true);
  });

  test('is handed to whoever works on it, where the page shares it', async () => {
    const columns = new SharedArrayBuffer(8);
    desk.columnsOf = (takeId) => (takeId === 'x' ? columns : null);
    await ask(check('x'), { urgency: 'view' });
    await ask(tally('y'), { urgency: 'view' });
    const sent = threads.flatMap((thread) => thread.sent);
    expect(sent.map((message) => message.type === 'ask' && message.columns)).toEqual([columns, null]);
  });
});
