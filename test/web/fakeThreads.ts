import { afterEach, beforeEach, vi } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { Job, TakeInput } from '../../web/sweep/jobs.ts';
import type { Piece } from '../../web/sweep/piece.ts';
import { Desk } from '../../web/takes/desk.ts';
import type { How, Thread } from '../../web/takes/lanes.ts';
import type { FromThread, Kind, Request, ToThread } from '../../web/takes/requests.ts';

/** A thread that notes what it is sent; the test answers for it. */
export class FakeThread implements Thread {
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

const take = (takeId: string) => ({ takeId, columns: 'read so', calibration: DEFAULT_CALIBRATION });
export const open = (id: string): Request<'open'> => {
  return {
    kind: 'open',
    ...take(id),
    tellsDecisions: false,
    candidate: DEFAULT_CANDIDATE,
    presses: [],
    labels: { spans: [], swings: [] },
  };
};
const content = { signals: 's', labels: 'l' };
export const check = (id: string): Request<'check'> => ({
  kind: 'check',
  content,
  ...take(id),
  facts: {} as never,
});
export const tally = (id: string): Request<'tally'> => ({
  kind: 'tally',
  content,
  ...take(id),
  presses: [],
  labels: { presses: [], spans: [], swings: [] },
  candidate: DEFAULT_CANDIDATE,
});

export const pieceOf = (id: string, piece: Piece): Request<'piece'> => {
  const input = { id } as TakeInput;
  return { kind: 'piece', content, ...take(id), input, piece };
};
export const sweep: Request<'sweep'> = { kind: 'sweep', job: {} as Job, firstId: null };
export const PIECE = { what: 'part', job: { kind: 'guard' } } as Piece;

export const threads: FakeThread[] = [];
export let desk: Desk;
/** What each order came to, in the order in which they ended. */
export const ended: string[] = [];

/** Gives each test a desk of its own, whose threads the test answers for. @param count  of those that work on many takes */
export function useDesk(count?: number): void {
  beforeEach(() => {
    vi.useFakeTimers();
    threads.splice(0);
    ended.splice(0);
    desk = new Desk(
      () => {
        const made = new FakeThread();
        threads.push(made);
        return made;
      },
      async (take, piece) => pieceOf(take.id, piece),
      count,
    );
  });
  afterEach(() => {
    vi.useRealTimers();
  });
}

/** Lets promises settle; no time passes. */
export const settle = () => vi.advanceTimersByTimeAsync(0);

export async function ask<K extends Kind>(request: Request<K>, how: How): Promise<void> {
  const name = `${request.kind} ${(request as { takeId: string }).takeId}`;
  desk.ask(request, how).then(
    (value) => ended.push(`${name}: ${value}`),
    (error: Error) => ended.push(`${name}: ${error.message}`),
  );
  await settle();
}

/** What all threads were asked so far, as kind and take. */
export function asked(): string[] {
  return threads.flatMap(({ sent }) =>
    sent.flatMap((message) =>
      message.type === 'ask' && 'takeId' in message.request
        ? [`${message.request.kind} ${message.request.takeId}`]
        : [],
    ),
  );
}

/** The thread that was asked this last, and under which number. */
export function underWay(name: string): { thread: FakeThread; id: number } {
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

export async function answer(name: string): Promise<void> {
  const { thread, id } = underWay(name);
  thread.tell({ type: 'done', id, value: 'answered' });
  await settle();
}
