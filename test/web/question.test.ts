import { signal } from '@preact/signals';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { desk } from '../../web/takes/desk.ts';
import type { How } from '../../web/takes/lanes.ts';
import { Question, whenRested } from '../../web/takes/question.ts';
import type { Answer, Request } from '../../web/takes/requests.ts';

/** What was asked at the desk, to be answered by the test. */
interface Asked {
  readonly takeId: string;
  readonly how: How;
  answer(value: string): void;
  fail(message: string): void;
}

let asked: Asked[];

beforeEach(() => {
  vi.useFakeTimers();
  asked = [];
  vi.spyOn(desk, 'ask').mockImplementation(
    (request, how) =>
      new Promise((resolve, reject) => {
        asked.push({
          takeId: (request as Request<'bench'>).takeId,
          how,
          answer: (value) => resolve(value as never),
          fail: (message) => reject(new Error(message)),
        });
      }),
  );
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.useRealTimers();
});

const settle = (ms = 0) => vi.advanceTimersByTimeAsync(ms);
const of = (takeId: string): Request<'bench'> => ({
  kind: 'bench',
  takeId,
  columns: 'read so',
  calibration: DEFAULT_CALIBRATION,
  smoothings: [],
});

function told(question: Question<'bench'>) {
  const { status, value, of: request, isCurrent } = question.known.value;
  return { status, value: value as unknown as string | null, of: request?.takeId, isCurrent };
}

describe('a question', () => {
  test('is asked at once the first time, then once what it rests on has rested', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    await settle();
    for (const id of ['b', 'c', 'd']) {
      question.follow(of(id));
      await settle(50);
    }
    expect(asked.map(({ takeId }) => takeId)).toEqual(['a']);
    await settle(200);
    expect(asked.map(({ takeId }) => takeId)).toEqual(['a', 'd']);
  });

  test('cancels what is not asked any longer, and takes no answer to it', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    await settle();
    question.follow(of('b'));
    expect(asked[0]!.how.signal!.aborted).toBe(true);
    asked[0]!.answer('of a');
    await settle(200);
    expect(told(question)).toMatchObject({ status: 'running', value: null });
  });

  test('keeps the last answer and says that it is behind until there is a newer one', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    await settle();
    asked[0]!.answer('of a');
    await settle();
    expect(told(question)).toEqual({ status: 'done', value: 'of a', of: 'a', isCurrent: true });
    question.follow(of('b'));
    expect(told(question)).toEqual({ status: 'running', value: 'of a', of: 'a', isCurrent: false });
    await settle(200);
    asked[1]!.how.tellValue!('half of b');
    expect(told(question)).toEqual({ status: 'running', value: 'half of b', of: 'b', isCurrent: true });
    asked[1]!.fail('the columns are gone');
    await settle();
    expect(told(question)).toEqual({ status: 'failed', value: null, of: 'b', isCurrent: true });
    expect(question.known.value.error).toBe('the columns are gone');
  });

  test('is not asked again for the same content, nor when somebody comes back to what is known', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    const leave = question.follow(of('a'));
    await settle();
    asked[0]!.answer('of a');
    await settle();
    leave();
    question.follow(of('a'));
    await settle(1000);
    expect(asked).toHaveLength(1);
    expect(told(question)).toMatchObject({ status: 'done', isCurrent: true });
  });

  test('goes on for the view that follows before the last one is taken down', async () => {
    const question = new Question<'bench'>('view');
    const leave = question.follow(of('a'));
    await settle();
    const leaveNext = question.follow(of('a'));
    leave();
    expect(asked[0]!.how.signal!.aborted).toBe(false);
    asked[0]!.answer('of a');
    await settle();
    expect(told(question)).toMatchObject({ status: 'done', isCurrent: true });
    question.follow(of('b'));
    leaveNext();
    await settle(1000);
    expect(asked.map(({ takeId }) => takeId)).toEqual(['a', 'b']);
  });

  test('before it has been followed, is told to be behind and running', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    await settle();
    asked[0]!.answer('of a');
    await settle();
    const next = question.keyOf(of('b'));
    expect(question.knownOf(next)).toMatchObject({ status: 'running', isCurrent: false, value: 'of a' });
    expect(question.knownOf(question.keyOf(null))).toMatchObject({ status: 'idle', isCurrent: false });
  });

  test('stops, keeps what was found, and goes on', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    await settle();
    asked[0]!.how.tellValue!('half');
    question.stop();
    expect(told(question)).toEqual({ status: 'stopped', value: 'half', of: 'a', isCurrent: true });
    expect(asked[0]!.how.signal!.aborted).toBe(true);
    question.goOn();
    await settle();
    expect(asked).toHaveLength(2);
    asked[1]!.answer('all');
    await settle();
    expect(told(question)).toEqual({ status: 'done', value: 'all', of: 'a', isCurrent: true });
  });

  test('tells how far it is only once that takes longer than anybody would not notice', async () => {
    const question = new Question<'bench'>('view');
    question.follow(of('a'));
    await settle();
    asked[0]!.how.tellPart!(0.2);
    expect(question.known.value.part).toBe(null);
    await settle(1500);
    asked[0]!.how.tellPart!(0.6);
    expect(question.known.value.part).toBe(0.6);
    asked[0]!.answer('of a' as unknown as string & Answer<'bench'>);
    await settle();
    expect(question.known.value.part).toBe(null);
  });
});

test('what rests on something is done at once, then once that has rested, and is stopped by the next change', async () => {
  const value = signal(0);
  const seen: number[] = [];
  const stopped: boolean[] = [];
  const end = whenRested(
    'view',
    () => void value.value,
    (gone) => {
      seen.push(value.peek());
      gone.addEventListener('abort', () => stopped.push(true));
    },
  );
  await settle();
  for (value.value = 1; value.value < 4; ++value.value) await settle(50);
  expect([seen, stopped]).toEqual([[0], [true]]);
  await settle(200);
  expect(seen).toEqual([0, 4]);
  end();
  value.value = 9;
  await settle(1000);
  expect([seen, stopped]).toEqual([
    [0, 4],
    [true, true],
  ]);
});
