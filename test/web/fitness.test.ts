import { afterAll, beforeAll, beforeEach, expect, test, vi } from 'vitest';
import type { Unfit } from '../../server/engine/choose/unfit.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import type { TakeDocument, TakeSummary, WorkspaceBody } from '../../server/http/schemas.ts';
import { fetchTake, fetchTakes } from '../../web/api.ts';
import {
  isMountAssumed,
  noteFitness,
  noteUnchecked,
  standingOf,
  startFitness,
} from '../../web/state/fitness.ts';
import { takeStatus } from '../../web/state/openTake.ts';
import { dispatch } from '../../web/state/store.ts';
import { takeScope } from '../../web/state/takeScope.ts';
import { workspace } from '../../web/state/workspace.ts';
import { desk } from '../../web/takes/desk.ts';
import { documents } from '../../web/takes/documents.ts';
import type { How } from '../../web/takes/lanes.ts';
import { found } from '../../web/takes/remembered.ts';
import type { Request } from '../../web/takes/requests.ts';

vi.mock('../../web/api.ts');

const GAPS: Unfit = { kind: 'check', failed: ['gaps'] };
const document = (id: string, revision: number, change: { leverArmM?: number; title?: string } = {}) =>
  ({
    id,
    revision,
    title: change.title ?? id,
    calibration: { leverArmM: change.leverArmM ?? 0.2 },
    sources: [],
    mapping: {},
    report: {},
    labels: EMPTY_LABELS,
  }) as unknown as TakeDocument;

/** The page gets to know a document. */
async function read(known: TakeDocument): Promise<TakeDocument> {
  vi.mocked(fetchTake).mockResolvedValue(known);
  return documents.readNow(known.id);
}

const standing = (id: string, revision: number) => standingOf({ id, revision, useUnfit: false });

test('a judgement holds for its revision and older ones, and for a newer one once that is known to rest on the same', async () => {
  expect(standing('a', 1)).toEqual({ kind: 'pending' });
  noteFitness(await read(document('a', 2)), { unfit: GAPS, isMountAssumed: true });
  const unfit = { kind: 'unfit', why: GAPS, isIncluded: false };
  expect([standing('a', 1), standing('a', 2), standing('a', 3)]).toEqual([unfit, unfit, { kind: 'pending' }]);
  await read(document('a', 3, { title: 'another name' }));
  expect(standing('a', 3)).toEqual(unfit);
  expect(isMountAssumed({ id: 'a', revision: 3, useUnfit: false })).toBe(true);
  await read(document('a', 4, { leverArmM: 0.3 }));
  expect(standing('a', 4)).toEqual({ kind: 'pending' });
  expect(isMountAssumed({ id: 'a', revision: 4, useUnfit: false })).toBe(false);
});

test('a take that could not be checked counts for nothing until it changes', () => {
  noteUnchecked({ id: 'b', revision: 1 }, 'gone');
  const why = { kind: 'unchecked', message: 'gone' };
  expect(standing('b', 1)).toEqual({ kind: 'unfit', why, isIncluded: false });
  expect(standing('b', 2)).toEqual({ kind: 'pending' });
});

interface Asked {
  readonly how: How;
  answer(unfit: Unfit | null): void;
  fail(message: string): void;
}

/** What was asked at the desk and is not answered, by take. */
const asked = new Map<string, Asked>();

/** A desk that reads at once what it is to ask. */
async function askOf(_kind: string, id: string, prepare: () => Promise<Request | null>, how: How) {
  const request = await prepare();
  if (request === null) return null;
  expect(request).toMatchObject({ kind: 'check', takeId: id, content: { signals: expect.any(String) } });
  return new Promise((resolve, reject) => {
    const drop = () => asked.delete(id);
    how.signal?.addEventListener('abort', drop);
    asked.set(id, {
      how,
      answer: (unfit) => drop() && resolve({ result: null, unfit, isMountAssumed: false }),
      fail: (message) => drop() && reject(new Error(message)),
    });
  });
}

const listed = ({ id }: { id: string }) => ({ signals: `signals of ${id}`, labels: 'labels' });

function show(...takes: { id: string; revision: number }[]): void {
  workspace.value = {
    takes: takes.map((take) => ({ content: listed(take), ...take, useUnfit: false }) as TakeSummary),
  } as unknown as WorkspaceBody;
}

/** Hashes are made beside: until nothing is on its way any longer. */
const settle = () => new Promise((resolve) => setTimeout(resolve, 50));
const urgencies = () =>
  [...asked]
    .map(([id, { how }]) => `${id} ${typeof how.urgency === 'string' ? how.urgency : how.urgency()}`)
    .sort();

beforeAll(() => {
  vi.spyOn(desk, 'askOf').mockImplementation(askOf as never);
  startFitness();
});
beforeEach(() => {
  vi.mocked(fetchTake).mockImplementation(async (id) => document(id, 1));
  vi.mocked(fetchTakes).mockImplementation(async (ids) => ({
    documents: await Promise.all(ids.map((id) => fetchTake(id))),
  }));
});
afterAll(() => vi.restoreAllMocks());

test('every take but the open one is judged, those that the view looks at before the others', async () => {
  takeStatus.value = { kind: 'open', take: { document: document('p', 1) } as never };
  show({ id: 'p', revision: 1 }, { id: 'q', revision: 1 }, { id: 'r', revision: 1 });
  await expect.poll(urgencies).toEqual(['q background', 'r background']);
  takeScope.value = { kind: 'chosen', ids: new Set(['r']) };
  dispatch({ type: 'viewChosen', view: 'sweep' });
  expect(urgencies()).toEqual(['q background', 'r view']);
  dispatch({ type: 'viewChosen', view: 'compare' });
  expect(urgencies()).toEqual(['q view', 'r view']);
  asked.get('q')!.answer(null);
  asked.get('r')!.fail('its columns are gone');
  await expect.poll(() => [standing('q', 1).kind, standing('r', 1).kind]).toEqual(['fit', 'unfit']);
});

test('what is asked already, or judged, is not asked again; a take that is closed unjudged is', async () => {
  const before = vi.mocked(desk.askOf).mock.calls.length;
  takeStatus.value = { kind: 'none' };
  show({ id: 'p', revision: 1 }, { id: 'q', revision: 1 }, { id: 'r', revision: 1 });
  await expect.poll(urgencies).toEqual(['p view']);
  expect(vi.mocked(desk.askOf).mock.calls.length - before).toBe(1);
});

test('a take that is removed, or has changed, is asked for no longer as it was', async () => {
  const { signal } = asked.get('p')!.how;
  vi.mocked(fetchTake).mockImplementation(async (id) => document(id, 2));
  show({ id: 'p', revision: 2 }, { id: 'q', revision: 1 });
  expect(signal!.aborted).toBe(true);
  await expect.poll(urgencies).toEqual(['p view']);
  show({ id: 'q', revision: 1 });
  expect([...asked.keys()]).toEqual([]);
});

test('a take that is being opened is left to its own view; one that cannot be opened is not', async () => {
  takeStatus.value = { kind: 'loading', takeId: 'w' };
  show({ id: 'w', revision: 1 });
  await settle();
  expect(urgencies()).toEqual([]);
  takeStatus.value = { kind: 'failed', takeId: 'w', message: 'its columns are gone' };
  await expect.poll(urgencies).toEqual(['w view']);
  show();
  takeStatus.value = { kind: 'none' };
});

test('what was found before of the signals that the list names is taken from there, and no document is read', async () => {
  const GAPPED = { result: null, unfit: GAPS, isMountAssumed: true };
  const known = vi
    .spyOn(found, 'known')
    .mockImplementation(async (named) =>
      named.map(({ basis }) => (basis.signals === 'signals of u' ? GAPPED : undefined) as never),
    );
  vi.mocked(fetchTake).mockClear();
  vi.mocked(fetchTakes).mockClear();
  const before = vi.mocked(desk.askOf).mock.calls.length;
  show({ id: 'u', revision: 4 }, { id: 'q', revision: 1 });
  await expect.poll(() => standing('u', 4)).toEqual({ kind: 'unfit', why: GAPS, isIncluded: false });
  expect(isMountAssumed({ id: 'u', revision: 4, useUnfit: false })).toBe(true);
  expect(vi.mocked(fetchTake).mock.calls.length + vi.mocked(fetchTakes).mock.calls.length).toBe(0);
  expect(vi.mocked(desk.askOf).mock.calls.length).toBe(before);
  known.mockClear();

  // Another revision of the same signals, as after a label: nothing is looked up.
  show({ id: 'u', revision: 5 });
  await settle();
  expect([standing('u', 5).kind, standing('u', 6).kind]).toEqual(['unfit', 'pending']);
  expect(known.mock.calls.flatMap(([named]) => named)).toEqual([]);
  known.mockRestore();
});

test('a judgement by the list holds for a document that is changed here, before the list tells of that', async () => {
  const known = vi
    .spyOn(found, 'known')
    .mockImplementation(async (named) =>
      named.map(() => ({ result: null, unfit: null, isMountAssumed: false }) as never),
    );
  show({ id: 'v', revision: 1 });
  await expect.poll(() => standing('v', 1)).toEqual({ kind: 'fit' });
  await read(document('v', 1));
  expect(standing('v', 1)).toEqual({ kind: 'fit' });
  await read(document('v', 2, { title: 'another name' }));
  expect(standing('v', 2)).toEqual({ kind: 'fit' });
  await read(document('v', 3, { leverArmM: 0.4 }));
  expect(standing('v', 3)).toEqual({ kind: 'pending' });
  known.mockRestore();
});
