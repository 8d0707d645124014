import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { NewTakeBody, TakeDocument } from '../../server/http/schemas.ts';
import { ApiError, upload } from '../../web/api.ts';
import {
  cancelImport,
  describeImport,
  importFiles,
  reopenColumns,
  restate,
  retryImport,
  storeImport,
  storeReread,
  useGuess,
} from '../../web/state/importing.ts';
import { importing, waitingFiles } from '../../web/state/importState.ts';
import { notices } from '../../web/state/notices.ts';
import { startAnew } from '../../web/state/startAnew.ts';
import { chosenTakeId } from '../../web/state/store.ts';
import { server } from './fakeReader.ts';
import { beginAnew, bring, names, now, settle } from './imports.ts';

vi.mock('../../web/api.ts', async (load) => (await import('./fakeReader.ts')).fakeApi(await load()));
vi.mock('../../web/state/startAnew.ts');

let files: Awaited<ReturnType<typeof beginAnew>>;
beforeEach(async () => {
  files = await beginAnew();
});

/** The progress shown while a take is stored. */
async function progressOf(store: () => Promise<void>): Promise<number[]> {
  const shown: number[] = [];
  const stop = importing.subscribe((one) => one?.stage === 'storing' && shown.push(one.progress));
  await store();
  stop();
  return shown;
}

/** What was sent to be stored. */
const sent = () => server.asked.flatMap(([what, of]) => (what === 'take' ? [of as NewTakeBody] : []));

describe('a take is stored', () => {
  test('as it was previewed and described, is opened, and the next file’s turn comes', async () => {
    await bring(files.log, files.other);
    await restate({ rateHz: 200 });
    describeImport({ title: 'Warm-up', performer: 'Beginner', drill: 'parries' });
    expect(await progressOf(storeImport)).toEqual([0, 0.5]);
    expect(sent()).toEqual([
      {
        uploadIds: ['log.csv'],
        mapping: now().reading!.preview.mapping,
        title: 'Warm-up',
        performer: 'Beginner',
        drill: 'parries',
        corrections: { rateHz: 200 },
      },
    ]);
    expect(chosenTakeId.value).toBe('new');
    expect(notices.value.map(({ kind, text }) => [kind, text])).toEqual([['fact', 'Added “Warm-up”.']]);
    expect([names(now().files), now().waiting]).toEqual([['other_log.csv'], []]);
  });

  test('by the guess alone it corrects nothing; that nothing is remembered is told', async () => {
    server.stored = { takeId: 'new', notRemembered: 'the disk is full' };
    await bring(files.log);
    await useGuess();
    await storeImport();
    expect(Object.keys(sent()[0]!)).not.toContain('corrections');
    expect(notices.value.map(({ kind, text }) => [kind, text])).toEqual([
      ['error', 'Your corrections are not remembered for the next log: the disk is full'],
      ['fact', 'Added “Log”.'],
    ]);
    expect(importing.peek()).toBe(null);
    importFiles([files.log]);
    await settle();
    expect(upload).toHaveBeenCalledTimes(2);
  });

  test('only once it is read; a refusal is shown, and one that comes after leaving is not', async () => {
    await bring(files.bad);
    await storeImport();
    expect(sent()).toEqual([]);
    await cancelImport();
    await bring(files.log);
    server.refusal = new ApiError('DISK_FULL', 'no room', 507);
    await storeImport();
    expect(now()).toMatchObject({ stage: 'failed', error: { code: 'DISK_FULL', message: 'no room' } });
    server.refusal = null;
    await retryImport();
    const storing = storeImport();
    await cancelImport();
    await storing;
    expect([importing.peek(), notices.value]).toEqual([null, []]);
  });
});

describe('a stored take read again', () => {
  const document = { id: 't', revision: 3, title: 'Spin' } as TakeDocument;

  test('shows how it is read now, then what is stated', async () => {
    await reopenColumns(document);
    expect(now()).toMatchObject({
      take: { id: 't', revision: 3 },
      title: 'Spin',
      stage: 'ready',
      memory: 'ignored',
    });
    await restate({ rateHz: 100 });
    await reopenColumns({ ...document, id: 'u' });
    expect(server.asked).toEqual([
      ['takePreview', ['t', {}]],
      ['takePreview', ['t', { rateHz: 100 }]],
    ]);
  });

  test('stored anew, the page starts anew and says what became of its labels', async () => {
    await storeReread(false);
    await reopenColumns(document);
    await restate({ rateHz: 100 });
    expect(await progressOf(() => storeReread(false))).toEqual([0, 0.5]);
    expect(server.asked.at(-1)).toEqual([
      'reread',
      {
        id: 't',
        revision: 3,
        mapping: now().reading!.preview.mapping,
        dropsLabels: false,
        corrections: { rateHz: 100 },
      },
    ]);
    expect(startAnew).toHaveBeenCalledWith('Read “Spin” again. Its labels stayed, each at its moment.');
    server.reread = { isStored: true, leftOut: 'Two swings are gone.', notRemembered: 'no room' };
    await restate({});
    await storeReread(true);
    expect(startAnew).toHaveBeenLastCalledWith(
      'Read “Spin” again. Two swings are gone. Not remembered for the next log: no room',
    );
  });

  test('asks first where labels would go; another statement takes the question back', async () => {
    server.reread = { isStored: false, leftOut: 'Two swings would go.', notRemembered: null };
    await reopenColumns(document);
    await storeReread(false);
    expect(now()).toMatchObject({ stage: 'ready', labelsLost: 'Two swings would go.' });
    expect(startAnew).not.toHaveBeenCalled();
    await restate({ rateHz: 100 });
    expect(now().labelsLost).toBe(null);
    expect(waitingFiles()).toEqual([]);
  });
});
