import { expect, test } from 'vitest';
import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import { EMPTY_LABELS } from '../../server/engine/labels/labels.ts';
import { contentOf } from '../../web/takes/content.ts';
import { addSmallTake } from '../store/temporaryWorkspace.ts';
import { testApp } from './testApp.ts';

test('the list names the content of each take as the page does of its document', async () => {
  const { app, workspace } = await testApp();
  const { id } = await addSmallTake(workspace);
  const listed = async (): Promise<TakeContent> =>
    (await app.inject('/api/workspace')).json().takes.find((take: { id: string }) => take.id === id).content;
  const document = async () => (await app.inject(`/api/takes/${id}`)).json();
  const first = await listed();
  expect(first).toEqual(await contentOf(await document()));

  const change = async (what: object): Promise<void> => {
    const { revision } = await document();
    const url = `/api/takes/${id}`;
    expect((await app.inject({ method: 'PATCH', url, payload: { revision, ...what } })).statusCode).toBe(200);
  };
  await change({ title: 'Another name', useUnfit: true });
  expect(await listed()).toEqual(first);
  const press = { button: 'power', downUs: 1000, intent: 'stray', by: 'person' };
  await change({ labels: { ...EMPTY_LABELS, presses: [press] } });
  const labelled = await listed();
  expect(labelled).toEqual(await contentOf(await document()));
  expect(labelled.signals).toBe(first.signals);
  expect(labelled.labels).not.toBe(first.labels);
  await change({ calibration: { ...(await document()).calibration, leverArmM: 0.31 } });
  expect(await listed()).toEqual(await contentOf(await document()));
  expect((await listed()).signals).not.toBe(first.signals);
});
