import { describe, expect, test } from 'vitest';
import { CancelledError, LogFormatError } from '../../server/errors.ts';
import { JobNotFoundError, TooManyJobsError } from '../../server/http/errors.ts';
import { Jobs } from '../../server/http/jobs.ts';

const MAX_RUNNING = 32;
const MAX_ENDED = 64;

describe('Jobs', () => {
  test('a job tells how far it is, then its result', async () => {
    const { jobs } = silentJobs();
    const { gate, open } = closedGate();
    const id = jobs.start(async ({ onProgress }) => {
      onProgress?.(0.25);
      await gate;
      return { takeId: 'a' };
    });
    expect(jobs.get(id)).toEqual({ state: 'running', progress: 0 });
    await settled();
    expect(jobs.get(id)).toEqual({ state: 'running', progress: 0.25 });
    open();
    await settled();
    expect(jobs.get(id)).toEqual({ state: 'done', progress: 1, result: { takeId: 'a' } });
  });

  test.each([
    [-1, 0],
    [2, 1],
  ])('a progress of %d is told as %d', async (given, told) => {
    const { jobs } = silentJobs();
    const id = jobs.start(async ({ onProgress }) => {
      onProgress?.(given);
      await new Promise(() => {});
    });
    await settled();
    expect(jobs.get(id).progress).toBe(told);
  });

  test('what is wrong with a log is told with its place, and is no matter for the terminal', async () => {
    const { jobs, logged } = silentJobs();
    const at = { file: 'a.csv', line: 7, column: 2 };
    const id = jobs.start(() => Promise.reject(new LogFormatError('no number', at)));
    await settled();
    const message = 'a.csv, line 7, column 2: no number';
    expect(jobs.get(id)).toEqual({
      state: 'failed',
      progress: 0,
      error: { code: 'LOG_FORMAT', message, ...at },
    });
    expect(logged).toEqual([]);
  });

  test('a bug is told without its inside; the terminal gets all of it', async () => {
    const { jobs, logged } = silentJobs();
    const id = jobs.start(() => {
      throw new Error('secret');
    });
    await settled();
    expect(jobs.get(id)).toMatchObject({ state: 'failed', error: { code: 'INTERNAL' } });
    expect(JSON.stringify(jobs.get(id))).not.toContain('secret');
    expect(logged).toEqual([new Error('secret')]);
  });

  test('the work of a stopped job is told at once, and what it had done all the same is not denied', async () => {
    const { jobs } = silentJobs();
    const { gate, open } = closedGate();
    let signal: AbortSignal | undefined;
    const id = jobs.start(async (hooks) => {
      signal = hooks.signal;
      await gate;
      return 'too late';
    });
    await settled();
    const stopped = jobs.cancel(id);
    expect(signal?.aborted).toBe(true);
    open();
    await stopped;
    expect(jobs.get(id)).toEqual({ state: 'done', progress: 1, result: 'too late' });
  });

  test('a job whose work stops when it is told to is stopped, once it has', async () => {
    const { jobs } = silentJobs();
    const id = jobs.start(async ({ signal }) => {
      await new Promise((resolve) => signal?.addEventListener('abort', resolve));
      throw new CancelledError();
    });
    await settled();
    await jobs.cancel(id);
    expect(jobs.get(id)).toEqual({ state: 'cancelled', progress: 0 });
  });

  test('stopping what has ended changes nothing', async () => {
    const { jobs } = silentJobs();
    const id = jobs.start(async () => 1);
    await settled();
    await jobs.cancel(id);
    expect(jobs.get(id)).toEqual({ state: 'done', progress: 1, result: 1 });
  });

  test('only so much runs at once; more is refused until some of it ends', async () => {
    const { jobs } = silentJobs();
    const { gate, open } = closedGate();
    for (let i = 0; i < MAX_RUNNING; ++i) jobs.start(() => gate);
    expect(() => jobs.start(() => gate)).toThrow(TooManyJobsError);
    open();
    await settled();
    expect(() => jobs.start(() => gate)).not.toThrow();
  });

  test('old results are forgotten, running work never', async () => {
    const { jobs } = silentJobs();
    const { gate } = closedGate();
    const running = jobs.start(() => gate);
    const ids: string[] = [];
    for (let i = 0; i < 3 * MAX_ENDED; ++i) {
      ids.push(jobs.start(async () => i));
      await settled();
    }
    const kept = ids.filter((id) => {
      try {
        return jobs.get(id).state === 'done';
      } catch (error) {
        expect(error).toBeInstanceOf(JobNotFoundError);
        return false;
      }
    });
    expect(kept).toEqual(ids.slice(-MAX_ENDED));
    expect(jobs.get(running).state).toBe('running');
  });

  test('closing stops all work and waits for it', async () => {
    const { jobs } = silentJobs();
    let ended = 0;
    for (let i = 0; i < 3; ++i) {
      jobs.start(async ({ signal }) => {
        await new Promise((resolve) => signal?.addEventListener('abort', resolve));
        await settled();
        ++ended;
        throw new CancelledError();
      });
    }
    await settled();
    await jobs.close();
    expect(ended).toBe(3);
  });
});

function silentJobs(): { jobs: Jobs; logged: unknown[] } {
  const logged: unknown[] = [];
  return { jobs: new Jobs((error) => logged.push(error)), logged };
}

function closedGate(): { gate: Promise<void>; open: () => void } {
  let open = (): void => {};
  const gate = new Promise<void>((resolve) => {
    open = resolve;
  });
  return { gate, open: () => open() };
}

function settled(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}
