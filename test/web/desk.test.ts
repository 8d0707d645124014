import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { Job, JobTake, TakeInput } from '../../web/sweep/jobs.ts';
import type { FoundPiece, Piece } from '../../web/sweep/pieces.ts';
import { Desk, type How, type Thread } from '../../web/takes/desk.ts';
import type { FromThread, Kind, Request, ToThread } from '../../web/takes/requests.ts';
import { threadsFor } from '../../web/takes/threads.ts';

/** A thread that notes what it is sent; the test answers for it. */
class FakeThread implements Thread {
  readonly sent: ToThread[] = [];
  isEnded = false;
  onmessage: Thread['onmessage'] = null;
  onerror: Thread['onerror'] = null;
  postMessage(message: ToThread): void {
    this.sent.push(message);
  }
  terminate(): void {
    this.isEnded = true;
  }
  tell(news: FromThread): void {
    this.onmessage?.({ data: news } as MessageEvent<FromThread>);
  }
}

const take = (takeId: string) => ({ takeId, calibration: DEFAULT_CALIBRATION });
const open = (id: string): Request<'open'> => ({ kind: 'open', ...take(id), tellsDecisions: false });
const check = (id: string): Request<'check'> => ({
  kind: 'check',
  basis: '',
  ...take(id),
  facts: {} as never,
  isShown: false,
});
const tally = (id: string): Request<'tally'> => ({
  kind: 'tally',
  basis: '',
  ...take(id),
  presses: [],
  labels: { presses: [], spans: [], swings: [] },
  candidate: DEFAULT_CANDIDATE,
});

const pieceOf = (id: string, piece: Piece): Request<'piece'> => {
  const input = { id } as TakeInput;
  return { kind: 'piece', basis: '', ...take(id), input, piece };
};
const sweep: Request<'sweep'> = { kind: 'sweep', job: {} as Job, firstId: null };
const PIECE = { what: 'part', job: { kind: 'guard' } } as Piece;

const threads: FakeThread[] = [];
let desk: Desk;
/** What each order came to, in the order in which they ended. */
let ended: string[];

beforeEach(() => {
  vi.useFakeTimers();
  threads.splice(0);
  ended = [];
  desk = new Desk(
    () => {
      const made = new FakeThread();
      threads.push(made);
      return made;
    },
    async (take, piece) => pieceOf(take.id, piece),
  );
});
afterEach(() => {
  vi.useRealTimers();
});

/** Lets promises settle; no time passes. */
const settle = () => vi.advanceTimersByTimeAsync(0);

async function ask<K extends Kind>(request: Request<K>, how: How): Promise<void> {
  const name = `${request.kind} ${(request as { takeId: string }).takeId}`;
  desk.ask(request, how).then(
    (value) => ended.push(`${name}: ${value}`),
    (error: Error) => ended.push(`${name}: ${error.message}`),
  );
  await settle();
}

/** What all threads were asked so far, as kind and take. */
function asked(): string[] {
  return threads.flatMap(({ sent }) =>
    sent.flatMap((message) =>
      message.type === 'ask' && 'takeId' in message.request
        ? [`${message.request.kind} ${message.request.takeId}`]
        : [],
    ),
  );
}

/** The thread that was asked this last, and under which number. */
function underWay(name: string): { thread: FakeThread; id: number } {
  for (const thread of threads) {
    for (const message of [...thread.sent].reverse()) {
      if (
        message.type === 'ask' &&
        `${message.request.kind} ${(message.request as { takeId: string }).takeId}` === name &&
        !thread.isEnded
      )
        return { thread, id: message.id };
    }
  }
  throw new Error(`${name} was never asked`);
}

async function answer(name: string): Promise<void> {
  const { thread, id } = underWay(name);
  thread.tell({ type: 'done', id, value: 'answered' });
  await settle();
}

describe('the desk', () => {
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

  test('has the pieces of a sweep found by other threads, and hands them on', async () => {
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

  test('asks for no further pieces of a sweep that was cancelled', async () => {
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
  beforeEach(() => {
    desk = new Desk(
      () => {
        const made = new FakeThread();
        threads.push(made);
        return made;
      },
      async (take, piece) => pieceOf(take.id, piece),
      3,
    );
  });

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
