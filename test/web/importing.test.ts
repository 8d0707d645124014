import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { ApiError, forgetMapping, upload } from '../../web/api.ts';
import {
  backToReading,
  cancelImport,
  forgetRemembered,
  holdRate,
  importFiles,
  joinWaiting,
  reopenColumns,
  restate,
  retryImport,
  takeOut,
  useGuess,
  useRemembered,
} from '../../web/state/importing.ts';
import { importing } from '../../web/state/importState.ts';
import { notices } from '../../web/state/notices.ts';
import { server } from './fakeReader.ts';
import { beginAnew, bring, names, now, settle, until } from './imports.ts';

vi.mock('../../web/api.ts', async (load) => (await import('./fakeReader.ts')).fakeApi(await load()));

let files: Awaited<ReturnType<typeof beginAnew>>;
beforeEach(async () => {
  files = await beginAnew();
});

/** The previews that were asked for. */
const previews = () => server.asked.flatMap(([what, of]) => (what === 'preview' ? [of] : []));

describe('files come in one after another', () => {
  test('the first is read, the others wait; what is left goes from the server, and the next one’s turn comes', async () => {
    await bring(files.log, files.other);
    expect(now()).toMatchObject({ stage: 'ready', title: 'Log', progress: 0.5, memory: 'adopted' });
    expect([names(now().files), names(now().waiting)]).toEqual([['log.csv'], ['other_log.csv']]);
    await cancelImport();
    expect([...server.uploads]).toEqual(['other_log.csv']);
    expect([now().title, names(now().waiting)]).toEqual(['Other log', []]);
    await cancelImport();
    expect([importing.peek(), server.uploads.size]).toEqual([null, 0]);
  });

  test('none at all begins nothing', () => {
    importFiles([]);
    expect(importing.peek()).toBe(null);
  });

  test('a name without words, or of signs, still makes a title', async () => {
    await bring(new File([''], '_.log'));
    expect(now().title).toBe('Untitled take');
    await cancelImport();
    await bring(new File([''], 'spin--log_2.CSV'));
    expect(now().title).toBe('Spin log 2');
  });

  test('what cannot be read says why, and is tried again on request', async () => {
    await bring(files.bad);
    expect(now()).toMatchObject({
      stage: 'failed',
      reading: null,
      error: { code: 'LOG_FORMAT', message: 'bad.csv: no numbers' },
    });
    server.refusal = new Error('no word');
    await retryImport();
    expect(now().error).toEqual({ code: 'UNKNOWN', message: 'no word' });
    expect(upload).toHaveBeenCalledTimes(1);
  });

  test('a file that the server no longer holds is sent anew', async () => {
    await bring(files.log);
    await cancelImport();
    await bring(files.log);
    expect(upload).toHaveBeenCalledTimes(2);
  });
});

describe('two halves of a motion', () => {
  test.each([
    ['rates', () => [files.gyr, files.acc]],
    ['forces', () => [files.acc, files.gyr]],
  ])('that wait together are one take, the accelerometer’s first; %s came first', async (_claim, halves) => {
    const [first, second] = halves();
    await bring(first!, files.other, second!);
    await until(() => expect(now().files.length).toBe(2));
    await settle();
    expect([names(now().files), names(now().waiting)]).toEqual([
      ['a_acc.csv', 'a_gyr.csv'],
      ['other_log.csv'],
    ]);
    expect(now()).toMatchObject({ joinNote: null, memory: 'adopted' });
  });

  test('join when the second is dropped later; a whole log does not, and that is said', async () => {
    await bring(files.acc);
    importFiles([files.other]);
    await until(() => expect(now().joinNote).not.toBe(null));
    expect(now().joinNote).toBe(
      'other_log.csv does not hold the missing half alone: it stays a take of its own.',
    );
    expect([now().stage, names(now().waiting)]).toEqual(['ready', ['other_log.csv']]);
    const stages: string[] = [];
    const stop = importing.subscribe((one) => one && stages.push(one.stage));
    importFiles([files.gyr]);
    await until(() => expect(names(now().files)).toEqual(['a_acc.csv', 'a_gyr.csv']));
    stop();
    expect([...new Set(stages)]).toEqual(['ready', 'reading']);
    expect([now().joinNote, names(now().waiting)]).toEqual([null, ['other_log.csv']]);
  });

  test('one that cannot be read with it stays alone, with the reason', async () => {
    await bring(files.acc, files.bad);
    expect(now()).toMatchObject({
      stage: 'ready',
      joinNote: 'bad.csv does not complete this take: bad.csv: no numbers.',
    });
  });

  test('a server that does not answer ends it', async () => {
    await bring(files.acc);
    server.refusal = new ApiError('OFFLINE', 'no answer', 0);
    importFiles([files.gyr]);
    await until(() => expect(now().stage).toBe('failed'));
    expect(now().error?.code).toBe('OFFLINE');
  });

  test('a whole log, or one that is stored already, is not completed by what is dropped', async () => {
    await bring(files.log);
    importFiles([files.gyr]);
    expect([now().stage, previews().length]).toEqual(['ready', 1]);
    await cancelImport();
    await cancelImport();
    await reopenColumns({ id: 't', revision: 3, title: 'T' } as TakeDocument);
    importFiles([files.gyr]);
    expect([now().stage, names(now().waiting)]).toEqual(['ready', ['a_gyr.csv']]);
  });
});

describe('files joined and taken out by hand', () => {
  test('join at the end, and leave with what was stated of them', async () => {
    await bring(files.acc, files.other);
    const roles = [{ file: 1, index: 4, role: 'button' as const }];
    await joinWaiting(files.other);
    await restate({ roles, rateHz: 200 });
    expect([names(now().files), now().waiting.length]).toEqual([['a_acc.csv', 'other_log.csv'], 0]);
    await takeOut(files.acc);
    expect([names(now().files), names(now().waiting)]).toEqual([['other_log.csv'], ['a_acc.csv']]);
    expect(now().overrides).toEqual({ rateHz: 200, roles: [{ ...roles[0], file: 0 }] });
    await takeOut(files.other);
    expect(now().files.length).toBe(1);
  });

  test('read what is remembered of their new shape, unless the guess is wanted', async () => {
    server.remembered = { rateHz: 50 };
    await bring(files.log, files.other);
    await joinWaiting(files.other);
    await useGuess();
    await takeOut(files.other);
    await joinWaiting(files.other);
    expect(previews().map((body) => (body as { applyRemembered: boolean }).applyRemembered)).toEqual([
      true,
      true,
      false,
      false,
      false,
    ]);
  });
});

describe('statements', () => {
  test('are read with the file, which is sent once; what fails keeps the last reading to go back to', async () => {
    await bring(files.log);
    await restate({ rateHz: 200 });
    expect(now()).toMatchObject({ stage: 'ready', overrides: { rateHz: 200 }, wrongRate: null });
    expect(now().reading?.overrides).toEqual({ rateHz: 200 });
    await bring(files.bad);
    await joinWaiting(files.bad);
    expect([now().stage, now().files.length]).toEqual(['failed', 2]);
    backToReading();
    expect(now()).toMatchObject({ stage: 'ready', error: null, overrides: { rateHz: 200 } });
    expect([names(now().files), names(now().waiting)]).toEqual([['log.csv'], ['bad.csv']]);
    expect(upload).toHaveBeenCalledTimes(2);
  });

  test('made while others are read overtake them', async () => {
    await bring(files.log);
    const first = restate({ rateHz: 100 });
    await Promise.all([first, restate({ rateHz: 300 })]);
    expect(now()).toMatchObject({ stage: 'ready', overrides: { rateHz: 300 } });
  });

  test('that are no rate stop the reading until they are mended, even one that has just ended', async () => {
    await bring(files.log);
    const reading = restate({ rateHz: 100 });
    const stop = importing.subscribe((now) => {
      if (now?.stage === 'reading' && now.progress === 0.5) holdRate('fast');
    });
    await reading;
    stop();
    expect([now().stage, now().wrongRate, now().reading?.overrides]).toEqual(['ready', 'fast', {}]);
    backToReading();
    expect([now().wrongRate, now().overrides]).toEqual([null, {}]);
  });

  test('that are remembered are taken over, left aside, applied again, or forgotten', async () => {
    server.remembered = { rateHz: 50 };
    await bring(files.log);
    expect(now()).toMatchObject({ memory: 'adopted', overrides: { rateHz: 50 } });
    await useGuess();
    expect([now().memory, now().overrides]).toEqual(['ignored', {}]);
    await useRemembered();
    expect(now()).toMatchObject({ memory: 'adopted', overrides: { rateHz: 50 } });
    await forgetRemembered('shape');
    expect(forgetMapping).toHaveBeenCalledWith('shape');
    expect([now().memory, now().overrides]).toEqual(['ignored', {}]);
    vi.mocked(forgetMapping).mockRejectedValueOnce(new Error('gone'));
    await forgetRemembered('shape');
    expect(notices.value.map(({ text }) => text)).toEqual(['gone']);
  });
});
