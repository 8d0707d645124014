import { describe, expect, test, vi } from 'vitest';
import {
  answer,
  ask,
  asked,
  check,
  desk,
  ended,
  open,
  settle,
  tally,
  threads,
  underWay,
  useDesk,
} from './fakeThreads.ts';

describe('the desk', () => {
  useDesk();

  test('asks a thread one thing at a time, the most urgent first, and else in the order in which they came', async () => {
    await ask(tally('w'), { urgency: 'view' });
    await ask(tally('x'), { urgency: 'view' });
    await ask(tally('y'), { urgency: 'view' });
    await ask(tally('z'), { urgency: 'open' });
    expect(asked()).toEqual(['tally w']);
    for (const id of ['w', 'z', 'x', 'y']) await answer(`tally ${id}`);
    expect(asked()).toEqual(['tally w', 'tally z', 'tally x', 'tally y']);
    expect(ended).toEqual(['w', 'z', 'x', 'y'].map((id) => `tally ${id}: answered`));
  });

  test('opens a take while others are worked on', async () => {
    await ask(tally('w'), { urgency: 'view' });
    await ask(check('w'), { urgency: 'view' });
    await ask(open('x'), { urgency: 'open' });
    expect(asked()).toEqual(['tally w', 'check w', 'open x']);
  });

  test('begins what nobody waits for only once nobody has waited for anything for a while', async () => {
    await ask(open('x'), { urgency: 'open' });
    await ask(tally('w'), { urgency: 'background' });
    await vi.advanceTimersByTimeAsync(5000);
    expect(asked()).toEqual(['open x']);
    await answer('open x');
    await vi.advanceTimersByTimeAsync(500);
    expect(asked()).toEqual(['open x']);
    await vi.advanceTimersByTimeAsync(200);
    expect(asked()).toEqual(['open x', 'tally w']);
  });

  test('asks for it at once if it becomes urgent', async () => {
    let urgency: 'background' | 'view' = 'background';
    await ask(open('x'), { urgency: 'open' });
    await ask(check('w'), { urgency: () => urgency });
    expect(asked()).toEqual(['open x']);
    urgency = 'view';
    desk.startNext();
    await settle();
    expect(asked()).toEqual(['open x', 'check w']);
  });

  test('forgets what was cancelled before it began', async () => {
    const stopped = new AbortController();
    await ask(tally('w'), { urgency: 'view' });
    await ask(tally('x'), { urgency: 'view', signal: stopped.signal });
    stopped.abort();
    await answer('tally w');
    expect(asked()).toEqual(['tally w']);
    expect(ended).toEqual(['tally x: stopped', 'tally w: answered']);
  });

  test('tells a thread that its work is cancelled; what it came to even so is not lost', async () => {
    const stopped = new AbortController();
    await ask(tally('w'), { urgency: 'view', signal: stopped.signal });
    await ask(tally('x'), { urgency: 'view' });
    stopped.abort();
    await settle();
    const { thread, id } = underWay('tally w');
    expect(thread.sent.at(-1)).toEqual({ type: 'cancel', id });
    expect(asked()).toEqual(['tally w']);
    await answer('tally w');
    expect(ended).toEqual(['tally w: answered']);
    expect(asked()).toEqual(['tally w', 'tally x']);
  });

  test('ends the thread of a check that nobody waits for any longer, and starts another', async () => {
    const stopped = new AbortController();
    await ask(check('w'), { urgency: 'open', signal: stopped.signal });
    await ask(check('x'), { urgency: 'open' });
    stopped.abort();
    await settle();
    expect(threads.map(({ isEnded }) => isEnded)).toEqual([true, false]);
    await answer('check x');
    expect(ended).toEqual(['check w: stopped', 'check x: answered']);
  });

  test('puts a check back that is in the way of a more urgent one', async () => {
    await ask(check('w'), { urgency: 'background' });
    await ask(check('x'), { urgency: 'open' });
    expect(asked()).toEqual(['check w', 'check x']);
    await answer('check x');
    await vi.advanceTimersByTimeAsync(1000);
    await answer('check w');
    expect(ended).toEqual(['check x: answered', 'check w: answered']);
  });

  test('reads what is to be asked only when it is next, and says early which take that is', async () => {
    const read: string[] = [];
    const prepare = (id: string) => async () => {
      read.push(id);
      return tally(id);
    };
    for (const id of ['x', 'y', 'z']) void desk.askOf('tally', id, prepare(id), { urgency: 'view' });
    await settle();
    expect(read).toEqual(['x', 'y']);
    expect(threads[0]!.sent.map((message) => message.type)).toEqual(['ask', 'soon']);
  });

  test('goes on where there is nothing to ask, or what is to be asked cannot be read', async () => {
    const none = desk.askOf('tally', 'x', async () => null, { urgency: 'view' });
    const unread = desk.askOf('tally', 'y', () => Promise.reject(new Error('gone')), { urgency: 'view' });
    const refused = expect(unread).rejects.toThrow('gone');
    await ask(tally('z'), { urgency: 'view' });
    expect(await none).toBe(null);
    await refused;
    expect(asked()).toEqual(['tally z']);
  });

  test('tells a failure, and goes on; a thread that breaks down is replaced', async () => {
    await ask(tally('w'), { urgency: 'view' });
    await ask(tally('x'), { urgency: 'view' });
    const { thread, id } = underWay('tally w');
    thread.tell({ type: 'failed', id, message: 'its columns are gone' });
    await settle();
    thread.onerror?.({ message: 'out of memory' } as ErrorEvent);
    await ask(tally('y'), { urgency: 'view' });
    expect(ended).toEqual(['tally w: its columns are gone', 'tally x: out of memory']);
    expect(threads).toHaveLength(2);
    expect(asked().at(-1)).toBe('tally y');
  });

  test('says that the server is gone where a thread could not be loaded', async () => {
    await ask(tally('w'), { urgency: 'view' });
    // What a browser tells of a script that it could not fetch.
    underWay('tally w').thread.onerror?.({ message: undefined } as unknown as ErrorEvent);
    await settle();
    expect(ended).toEqual(['tally w: The server does not answer. Is it still running in its terminal?']);
  });

  test('tells how far work is and what it has found', async () => {
    const told: unknown[] = [];
    const how = {
      tellPart: (part: number) => told.push(part),
      tellValue: (value: unknown) => told.push(value),
    };
    await ask(tally('w'), { urgency: 'view', ...how });
    const { thread, id } = underWay('tally w');
    thread.tell({ type: 'part', id, part: 0.5 });
    thread.tell({ type: 'value', id, value: 'half' });
    thread.tell({ type: 'value', id: id + 1, value: 'of something else' });
    expect(told).toEqual([0.5, 'half']);
  });
});
