import { afterEach, beforeAll, expect, test, vi } from 'vitest';
import { notices } from '../../web/state/notices.ts';
import { changeDocument, loadTake, openTake } from '../../web/state/openTake.ts';
import { dispatch } from '../../web/state/store.ts';
import { tellConflict } from '../../web/state/tellConflict.ts';
import { desk } from '../../web/takes/desk.ts';
import { add, server } from './fakeServer.ts';
import { swingingTake } from './swingingTake.ts';

vi.mock('../../web/api.ts', async (load) => (await import('./fakeServer.ts')).fakeApi(await load()));

const texts = () => notices.value.map(({ text }) => text);

beforeAll(async () => {
  const { motion, document } = swingingTake('one');
  vi.spyOn(desk, 'startNext').mockImplementation(() => {});
  vi.spyOn(desk, 'askOf').mockImplementation((async (kind: string, _id: string, prepare: () => unknown) => {
    if (kind !== 'open') return new Promise(() => {});
    await prepare();
    return { motion, gestures: [] };
  }) as never);
  add('one', { ...document, id: 'one', title: 'ONE' });
  dispatch({ type: 'takeOpened', takeId: 'one' });
  await loadTake('one');
});
afterEach(() => {
  notices.value = [];
});

test('of a take that was changed in another tab both texts are told, and mine can be saved on top of theirs', async () => {
  const before = server.takes.get('one')!;
  server.takes.set('one', { ...before, revision: before.revision + 1, notes: 'theirs', drill: 'theirs too' });
  await changeDocument({ notes: 'mine' });
  expect(texts()).toEqual([
    'Not saved: “ONE” was changed elsewhere meanwhile, perhaps in another tab, and is shown as it is there. notes: there “theirs”, yours “mine”.',
  ]);
  expect(openTake.value!.document.notes).toBe('theirs');
  notices.value[0]!.action!.run();
  await vi.waitFor(() =>
    expect(server.takes.get('one')).toMatchObject({ notes: 'mine', drill: 'theirs too' }),
  );
});

test('what differs and is no text is named, what is the same is not, and a long text is cut', () => {
  tellConflict(
    'it',
    { note: 'a'.repeat(200), candidate: { a: 1 }, name: 'X' },
    { note: 'b', candidate: { a: 2 }, name: 'X' },
    () => {},
  );
  expect(texts()[0]).toContain(`note: there “${'a'.repeat(80)}…”, yours “b”; values: another there.`);
  expect(texts()[0]).not.toContain('name');
});
