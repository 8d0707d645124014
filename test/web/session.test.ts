import { afterAll, beforeAll, beforeEach, describe, expect, test, vi } from 'vitest';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { judge, patienceMs } from '../../web/state/judging.ts';
import { notices } from '../../web/state/notices.ts';
import { changeDocument, documentSaved, loadTake, openTake, takeStatus } from '../../web/state/openTake.ts';
import { removeTakes, restoreTakes } from '../../web/state/removing.ts';
import { goToTake, startSession } from '../../web/state/session.ts';
import { chosenTakeId, dispatch, labelsByTake, pageWork, sight } from '../../web/state/store.ts';
import { sweptMap, takeInputs, takesInScope } from '../../web/state/takeInputs.ts';
import { takeScope } from '../../web/state/takeScope.ts';
import { workspace } from '../../web/state/workspace.ts';
import { desk } from '../../web/takes/desk.ts';
import { add, server } from './fakeServer.ts';
import { swingingTake } from './swingingTake.ts';

vi.mock('../../web/api.ts', async (load) => (await import('./fakeServer.ts')).fakeApi(await load()));

/** A browser's address and its history, which tells of a change only after it. */
const entries = ['#'];
let at = 0;
const listeners: (() => void)[] = [];
const page = { title: '' };
function visit(hash: string): void {
  entries.splice(++at, entries.length, hash);
  for (const listener of listeners) listener();
}
function goBack(): void {
  --at;
  for (const listener of listeners) listener();
}

const { motion, document } = swingingTake('one');
const texts = () => notices.value.map(({ kind, text }) => `${kind}: ${text}`);
/** Long enough for the address to follow. */
const rest = () => vi.advanceTimersByTimeAsync(200);
const calls = () => vi.mocked(desk.askOf).mock.calls.filter(([kind]) => kind === 'open').length;

/** The page is opened at an address while the server is not there yet. */
beforeAll(async () => {
  vi.useFakeTimers();
  vi.stubGlobal('location', {
    get hash() {
      return entries[at];
    },
  });
  vi.stubGlobal('history', {
    pushState: (_state: unknown, _title: string, hash: string) => entries.splice(++at, entries.length, hash),
    replaceState: (_state: unknown, _title: string, hash: string) => {
      entries[at] = hash;
    },
  });
  vi.stubGlobal('document', page);
  vi.stubGlobal('addEventListener', (name: string, listener: () => void) => {
    if (name === 'hashchange') listeners.push(listener);
  });
  vi.spyOn(desk, 'startNext').mockImplementation(() => {});
  vi.spyOn(desk, 'ask').mockImplementation((async () => ({ motion, gestures: ['anew'] })) as never);
  vi.spyOn(desk, 'askOf').mockImplementation((async (kind: string, _id: string, prepare: () => unknown) => {
    if (kind !== 'open') return new Promise(() => {});
    await prepare();
    return { motion, gestures: [] };
  }) as never);
  for (const id of ['one', 'two', 'three']) add(id, { ...document, id, title: id.toUpperCase() });
  entries[0] =
    '#view=sweep&take=two&from=1&to=2.5&press=3&candidate=b&sweep=stab&judge=motion&patience=200&takes=two,gone';
  server.failures.push(new Error('no answer'));
  await startSession();
  expect([texts(), workspace.value]).toEqual([['error: no answer'], null]);
  notices.value = [];
  await vi.advanceTimersByTimeAsync(2000);
});
beforeEach(() => {
  notices.value = [];
});
afterAll(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
});

describe('a page that is opened at an address', () => {
  test('shows all that the address names, as far as it exists', () => {
    expect([sight.view.value, sight.slot.value, sight.showB.value, chosenTakeId.value]).toEqual([
      'sweep',
      'b',
      true,
      'two',
    ]);
    expect([sight.window.value, sight.pressIndex.value]).toEqual([{ startUs: 1e6, endUs: 2.5e6 }, 2]);
    expect([sweptMap.value, judge.value, patienceMs.value]).toEqual(['stab', 'motion', 200]);
    expect(takeScope.value).toEqual({ kind: 'chosen', ids: new Set(['two']) });
    expect(openTake.value).toMatchObject({ document: { id: 'two' }, durationUs: motion.timeUs.at(-1) });
    expect(page.title).toBe('TWO · Sweep · Moulinet');
  });

  test('goes where the address is changed to; a take that is none is told, and the first is opened', async () => {
    visit('#view=tune&take=gone&from=1&to=2&press=1&takes=gone');
    await rest();
    expect(texts()).toEqual(['error: This workspace holds no take “gone”.']);
    expect([chosenTakeId.value, sight.window.value, sight.pressIndex.value]).toEqual(['one', null, null]);
    expect(takeScope.value).toEqual({ kind: 'open' });
    // Nothing is let through there, so all of it is shown.
    expect(entries[at]).toBe('#view=tune&take=one&shows=whole&candidate=a,b');
    visit('#takes=none');
    expect(takeScope.value).toEqual({ kind: 'chosen', ids: new Set() });
    visit('#view=tune&take=one');
    await rest();
    expect(texts().length).toBe(1);
  });
});

describe('the address', () => {
  test('follows a move within a view once it rests, and is no step of the history', async () => {
    const before = at;
    dispatch({ type: 'windowMoved', window: { startUs: 0, endUs: 1e6 } });
    await vi.advanceTimersByTimeAsync(100);
    dispatch({ type: 'windowMoved', window: { startUs: 0, endUs: 2e6 } });
    await vi.advanceTimersByTimeAsync(100);
    expect(entries[at]).not.toContain('to=');
    await vi.advanceTimersByTimeAsync(100);
    expect([entries[at], at]).toEqual(['#view=tune&take=one&from=0&to=2&candidate=a,b', before]);
  });

  test('makes one step of another take and view, which leads back to where the page was, and forth', async () => {
    const before = at;
    dispatch({ type: 'windowMoved', window: { startUs: 0, endUs: 3e6 } });
    dispatch({ type: 'viewChosen', view: 'compare' });
    goToTake('three');
    await rest();
    expect(entries.slice(before)).toEqual([
      '#view=tune&take=one&from=0&to=3&candidate=a,b',
      '#view=tune&take=three&shows=whole&candidate=a,b',
    ]);
    goBack();
    await rest();
    expect([chosenTakeId.value, sight.window.value?.endUs, at]).toEqual(['one', 3e6, before]);
    dispatch({ type: 'slotChosen', slot: 'b' });
    await rest();
    expect([entries[at], at]).toEqual(['#view=tune&take=one&from=0&to=3&candidate=b,a', before]);
  });

  test('that somebody has just changed is not written over', () => {
    dispatch({ type: 'viewChosen', view: 'signal' });
    entries[at] = '#view=plan';
    vi.advanceTimersByTime(10);
    expect(entries[at]).toBe('#view=plan');
    for (const listener of listeners) listener();
    expect(sight.view.value).toBe('plan');
  });
});

describe('takes', () => {
  test('are read for a view of the open one, not for one of the workspace, whose title names none', async () => {
    goToTake('two');
    dispatch({ type: 'viewChosen', view: 'compare' });
    const before = calls();
    dispatch({ type: 'takeOpened', takeId: 'three' });
    await rest();
    expect([calls() - before, page.title]).toEqual([0, 'Compare · Moulinet']);
    dispatch({ type: 'viewChosen', view: 'tune' });
    await rest();
    expect([calls() - before, openTake.value?.document.id]).toEqual([1, 'three']);
  });

  test('that are open already stay as they are', async () => {
    dispatch({ type: 'pressChosen', pressIndex: 1 });
    goToTake('three');
    expect(sight.pressIndex.value).toBe(1);
  });

  test('opened one after the other, the last is shown; one that cannot be read says why', async () => {
    goToTake('one');
    goToTake('two');
    await rest();
    expect(openTake.value?.document.id).toBe('two');
    server.failures.push(new Error('its columns are gone'));
    goToTake('one');
    await rest();
    expect(takeStatus.value).toEqual({ kind: 'failed', takeId: 'one', message: 'its columns are gone' });
    await loadTake('two');
    expect(takeStatus.value).toEqual({ kind: 'loading', takeId: 'two' });
    await loadTake('one');
    expect(openTake.value?.document.id).toBe('one');
  });

  test('keep labels that were changed before they were opened again', async () => {
    const labels = {
      ...EMPTY_LABELS,
      spans: [{ startUs: 0, endUs: 1, kind: 'still', by: 'person' as const }],
    };
    dispatch({ type: 'labelsChanged', takeId: 'one', labels });
    await loadTake('one');
    expect(labelsByTake.value['one']).toBe(labels);
    dispatch({ type: 'undone' });
  });

  test('are described anew with the motion as it is, calibrated anew with another one', async () => {
    await changeDocument({ notes: 'windy' });
    expect(openTake.value).toMatchObject({ document: { notes: 'windy' }, gestures: [] });
    await changeDocument({ calibration: { ...openTake.value!.document.calibration, leverArmM: 0.3 } });
    expect(openTake.value).toMatchObject({
      document: { calibration: { leverArmM: 0.3 } },
      gestures: ['anew'],
    });
    server.failures.push(new Error('no room'));
    await changeDocument({ notes: '' });
    expect(texts()).toEqual(['error: no room']);
    notices.value[0]!.action!.run();
    await rest();
    expect(openTake.value).toMatchObject({ document: { notes: 'windy' }, gestures: [] });
  });

  test('saved with another calibration than the motion’s are opened anew; others are nothing to the open one', async () => {
    const { document } = openTake.value!;
    const before = calls();
    documentSaved({ ...document, id: 'two', notes: 'x' });
    documentSaved({ ...document, notes: 'y' });
    expect([openTake.value?.document.notes, calls() - before]).toEqual(['y', 0]);
    documentSaved({ ...document, mapping: { columns: [] } as never });
    expect(takeStatus.value.kind).toBe('loading');
    await rest();
    expect([openTake.value?.document.notes, calls() - before]).toEqual(['windy', 1]);
  });
});

test('the takes that a view looks at: the open one, all, or those chosen, with labels that are not saved yet', async () => {
  takeScope.value = { kind: 'open' };
  expect(takesInScope.value.map(({ id }) => id)).toEqual(['one']);
  takeScope.value = { kind: 'all' };
  expect(takeInputs.value.map(({ id, labels, unfit }) => [id, labels, unfit])).toEqual([
    ['one', null, null],
    ['two', EMPTY_LABELS, null],
    ['three', EMPTY_LABELS, null],
  ]);
  const labels = { ...EMPTY_LABELS, spans: [{ startUs: 0, endUs: 1, kind: 'still', by: 'person' as const }] };
  dispatch({ type: 'labelsChanged', takeId: 'one', labels });
  expect(takeInputs.value[0]!.labels).toBe(labels);
  dispatch({ type: 'labelsChanged', takeId: 'one', labels: { ...EMPTY_LABELS } });
  expect(takeInputs.value[0]!.labels).toBe(null);
  documentSaved({ ...openTake.value!.document, title: 'Renamed', revision: 9 });
  expect(takeInputs.value[0]).toMatchObject({ title: 'Renamed', revision: 9 });
  takeScope.value = { kind: 'chosen', ids: new Set(['three']) };
  expect(takesInScope.value.map(({ id }) => id)).toEqual(['three']);
});

describe('removed takes', () => {
  test('leave nothing behind; where the open one goes, the first that is left is opened; they can be brought back', async () => {
    await removeTakes(['one', 'two'], 'two takes');
    expect([workspace.value!.takes.map(({ id }) => id), chosenTakeId.value]).toEqual([['three'], 'three']);
    expect(Object.keys(pageWork.value.labels)).toEqual(['three']);
    expect(texts()).toEqual(['fact: Removed two takes. Their files lie in the workspace’s trash.']);
    await rest();
    expect(openTake.value?.document.id).toBe('three');
    notices.value[0]!.action!.run();
    await rest();
    expect([chosenTakeId.value, [...server.takes.keys()]]).toEqual(['one', ['three', 'one', 'two']]);
  });

  test('are as many as the server has removed; where it has removed none, nothing is told of', async () => {
    server.failures.push(new Error('locked'));
    await removeTakes(['three'], 'a take');
    expect([texts(), server.takes.size]).toEqual([['error: locked'], 3]);
    await removeTakes(['three', 'nowhere'], 'a take');
    expect(texts()).toContain('fact: Removed a take. Its files lie in the workspace’s trash.');
    dispatch({ type: 'takeOpened', takeId: 'two' });
    await rest();
    server.failures.push(new Error('locked again'));
    await restoreTakes(['three']);
    expect([texts()[2], chosenTakeId.value]).toEqual(['error: locked again', 'two']);
  });

  test('leave an empty page when they were all', async () => {
    await removeTakes(['one', 'two'], 'all');
    expect([chosenTakeId.value, takeStatus.value.kind]).toEqual([null, 'none']);
  });
});

test('while the demo takes are still being read, the page looks again until the first is there', async () => {
  server.demoJobId = 'demo';
  vi.resetModules();
  const again = await import('../../web/state/session.ts');
  const { chosenTakeId: chosen } = await import('../../web/state/store.ts');
  entries[at] = '#';
  await again.startSession();
  await vi.advanceTimersByTimeAsync(500);
  expect(chosen.value).toBe(null);
  add('demo', {});
  server.demoJobId = null;
  await vi.advanceTimersByTimeAsync(500);
  expect(chosen.value).toBe('demo');
});
