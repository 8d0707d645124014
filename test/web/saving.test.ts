import { beforeEach, describe, expect, test, vi } from 'vitest';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { conflict, settleConflict, type Way } from '../../web/state/conflict.ts';
import { notices } from '../../web/state/notices.ts';
import { takeStatus } from '../../web/state/openTake.ts';
import { adoptLabels, savedWork } from '../../web/state/savedWork.ts';
import { saveAtOnce, saveSoon, saveState } from '../../web/state/saving.ts';
import { startAnew } from '../../web/state/startAnew.ts';
import { bothCandidates, dispatch, labelsByTake } from '../../web/state/store.ts';
import { documents } from '../../web/takes/documents.ts';
import { add, server } from './fakeServer.ts';

vi.mock('../../web/api.ts', async (load) => (await import('./fakeServer.ts')).fakeApi(await load()));
vi.mock('../../web/state/startAnew.ts');

const stray = (downUs: number): Labels => ({
  ...EMPTY_LABELS,
  presses: [{ downUs, button: 'power', intent: 'stray', by: 'person' }],
});

/** As another tab changes a take. */
function elsewhere(id: string, change: Partial<TakeDocument>): void {
  const now = server.takes.get(id)!;
  server.takes.set(id, { ...now, ...change, revision: now.revision + 1 });
}

const label = (takeId: string, labels: Labels) => dispatch({ type: 'labelsChanged', takeId, labels });

/** Two takes, both looked at by the page once; none is open now. */
beforeEach(async () => {
  savedWork.labels.clear();
  savedWork.candidates = bothCandidates.peek();
  notices.value = [];
  takeStatus.value = { kind: 'none' };
  for (const id of ['x', 'y']) {
    documents.forget(id);
    add(id, { labels: EMPTY_LABELS });
    adoptLabels(await documents.readNow(id));
  }
});

describe('labels of a take that is not open', () => {
  test('are saved from the revision that they go on from, one after another', async () => {
    label('x', stray(1));
    await saveAtOnce();
    label('x', stray(2));
    await saveAtOnce();
    expect(server.takes.get('x')).toMatchObject({ revision: 3, labels: stray(2) });
    expect(saveState.value).toBe('saved');
  });

  test('are sent once, however many ask to save them', async () => {
    label('x', stray(1));
    await Promise.all([saveAtOnce(), saveAtOnce()]);
    expect([server.takes.get('x')!.revision, saveState.value]).toEqual([2, 'saved']);
  });

  test('that another tab has labelled since are a conflict, told with its name: nothing is overwritten', async () => {
    elsewhere('x', { labels: stray(7) });
    label('x', stray(1));
    await saveAtOnce();
    expect(server.takes.get('x')!.labels).toEqual(stray(7));
    expect(saveState.value).toBe('failed');
    expect(notices.value.map(({ text }) => text)).toEqual([
      'Not saved: the labels of “X” were changed elsewhere meanwhile, perhaps in another tab.',
    ]);
  });

  test('are a conflict too if the page has read the other tab’s change for something else', async () => {
    label('x', stray(1));
    elsewhere('x', { labels: stray(7) });
    await documents.readNow('x');
    await saveAtOnce();
    expect([server.takes.get('x')!.labels, saveState.value]).toEqual([stray(7), 'failed']);
  });

  test('are a conflict too if the page has changed something else of it since', async () => {
    label('x', stray(1));
    elsewhere('x', { labels: stray(7) });
    const { revision } = await documents.readNow('x');
    await documents.patch('x', revision, { useUnfit: true });
    await saveAtOnce();
    expect([server.takes.get('x')!.labels, saveState.value]).toEqual([stray(7), 'failed']);
  });

  test('are saved if only something else of it was changed elsewhere', async () => {
    label('x', stray(1));
    elsewhere('x', { notes: 'windy' });
    await documents.readNow('x');
    await saveAtOnce();
    expect(server.takes.get('x')).toMatchObject({ notes: 'windy', labels: stray(1) });
  });

  test('are taken over from the other tab while nothing was changed here', async () => {
    elsewhere('x', { labels: stray(7) });
    await documents.readNow('x');
    expect(labelsByTake.value['x']).toEqual(stray(7));
    label('x', stray(8));
    await saveAtOnce();
    expect(server.takes.get('x')!.labels).toEqual(stray(8));
  });

  /** Looks at what differs, from the notice that stands, and settles it. */
  const settle = async (way: Way): Promise<void> => {
    const [notice] = notices.value;
    notices.value = [];
    notice!.action!.run();
    await expect.poll(() => conflict.value).not.toBe(null);
    settleConflict(conflict.value!, way);
    saveSoon();
  };

  test('in conflict are put over what is there when the user says so, take by take', async () => {
    elsewhere('x', { labels: stray(7) });
    elsewhere('y', { labels: stray(7) });
    label('x', stray(1));
    label('y', stray(2));
    await saveAtOnce();
    await settle('mine');
    await expect.poll(() => notices.value.length).toBe(1);
    expect([server.takes.get('x')!.labels, server.takes.get('y')!.labels]).toEqual([stray(1), stray(7)]);
    await settle('mine');
    await expect.poll(() => saveState.value).toBe('saved');
    expect(server.takes.get('y')!.labels).toEqual(stray(2));
  });

  test.each<[Way, readonly number[]]>([
    ['theirs', [7]],
    ['both', [1, 7]],
  ])('in conflict are settled by taking %s', async (way, downUs) => {
    elsewhere('x', { labels: stray(7) });
    label('x', stray(1));
    await saveAtOnce();
    await settle(way);
    await expect.poll(() => saveState.value).toBe('saved');
    const there = server.takes.get('x')!.labels.presses.map((press) => press.downUs);
    expect(there).toEqual(downUs);
    expect(labelsByTake.value['x']!.presses.map((press) => press.downUs)).toEqual(downUs);
  });
});

describe('documents', () => {
  test('of a take that another tab has read again by another mapping start the page anew', async () => {
    elsewhere('x', { notes: 'windy' });
    await documents.readNow('x');
    expect(startAnew).not.toHaveBeenCalled();
    elsewhere('x', { mapping: { columns: [] } as never });
    await documents.readNow('x');
    expect(startAnew).toHaveBeenCalledWith('“X” was read again elsewhere: this page has started anew.');
  });

  test('are read once for each revision, however many ask', async () => {
    documents.forget('x');
    const [one, other] = await Promise.all([documents.read('x'), documents.read('x')]);
    expect(one).toBe(other);
    expect(await documents.read('x', 1)).toBe(one);
    elsewhere('x', { notes: 'windy' });
    expect(documents.known('x', 2)).toBe(undefined);
    expect((await documents.read('x', 2)).notes).toBe('windy');
  });
});
