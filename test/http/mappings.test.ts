import { expect, test } from 'vitest';
import type { Overrides, Preview } from '../../server/http/schemas.ts';
import type { App } from '../../server/http/types.ts';
import { smallLog } from '../store/smallLog.ts';
import { endOfJob, testApp, upload } from './testApp.ts';

const CORRECTION: Overrides = { roles: [{ file: 0, index: 7, role: 'label' }] };

test('a correction sent with a take comes back with the next preview, and goes when it is forgotten', async () => {
  const { app } = await testApp();
  const first = await preview(app, { overrides: CORRECTION });
  expect(first.corrections).toEqual(CORRECTION);
  const { uploadId, mapping, corrections } = first;
  const body = { uploadIds: [uploadId], mapping, corrections, title: 'T', performer: '', drill: '' };
  const { jobId } = (await app.inject({ method: 'POST', url: '/api/takes', payload: body })).json();
  expect((await endOfJob(app, jobId)).result).toMatchObject({ notRemembered: null });

  const unasked = await preview(app, { overrides: {} });
  expect(unasked.mapping.columns[7]?.role).toBe('button');
  const asked = await preview(app, { overrides: {}, applyRemembered: true });
  expect(asked.mapping.columns[7]?.role).toBe('label');
  expect(asked.stated).toEqual(CORRECTION);

  const url = `/api/mappings/${asked.remembered?.id}`;
  expect((await app.inject({ method: 'DELETE', url })).statusCode).toBe(204);
  expect((await preview(app, { overrides: {}, applyRemembered: true })).remembered).toBeNull();
  const again = await app.inject({ method: 'DELETE', url });
  expect([again.statusCode, again.json().code]).toEqual([404, 'MAPPING_NOT_FOUND']);
});

async function preview(app: App, body: object): Promise<Preview & { uploadId: string }> {
  const uploadId = await upload(app, smallLog(), 'thumb.csv');
  const payload = { uploadIds: [uploadId], ...body };
  const { jobId } = (await app.inject({ method: 'POST', url: '/api/previews', payload })).json();
  return { ...((await endOfJob(app, jobId)).result as Preview), uploadId };
}
