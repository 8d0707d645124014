import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { DEFAULT_CANDIDATE, withField } from '../../server/engine/settings/candidateRules.ts';
import type { NewTakeBody, UploadPreview } from '../../server/http/schemas.ts';
import type { App } from '../../server/http/types.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake } from '../store/temporaryWorkspace.ts';
import { endOfJob, testApp, upload } from './testApp.ts';

describe('from a file to a take', () => {
  test('upload, preview, take, and the list', async () => {
    const { app, workspace } = await testApp();
    const uploadId = await upload(app, smallLog(), 'Übung (1).csv');
    const preview = await previewOf(app, uploadId, {});
    expect(preview.needs).toEqual([]);
    expect(preview.report?.rows).toBe(100);
    const job = await endOfJob(
      app,
      await startTake(app, { ...NAMES, uploadIds: [uploadId], mapping: preview.mapping }),
    );
    const { takeId } = job.result as { takeId: string };
    const { takes, candidates, path, demoJobId, problems } = (await app.inject('/api/workspace')).json();
    expect(takes).toEqual([expect.objectContaining({ id: takeId, title: 'Quick turns', pressCount: 1 })]);
    expect(candidates).toEqual(workspace.candidates.get());
    expect({ path, demoJobId, problems }).toEqual({ path: workspace.path, demoJobId: null, problems: [] });
  });

  test('documents of many takes come together, those that are there', async () => {
    const { app, workspace } = await testApp();
    const takes = [await addSmallTake(workspace), await addSmallTake(workspace)];
    const { documents } = (
      await app.inject(`/api/documents?ids=${takes[1]!.id},none,${takes[0]!.id}`)
    ).json();
    expect(documents).toEqual([takes[1], takes[0]]);
    for (const ids of ['', '../x', `${'a,'.repeat(30)}a`])
      expect((await app.inject(`/api/documents?ids=${ids}`)).statusCode).toBe(400);
  });

  test('a preview with overrides reads the log as they say', async () => {
    const { app } = await testApp();
    const uploadId = await upload(app, smallLog());
    const mount = { tip: '-z', side: '+x' };
    const roles = [{ file: 0, index: 7, role: 'ignored' }];
    const { mapping, report } = await previewOf(app, uploadId, { mount, roles });
    expect(mapping.mount).toEqual(mount);
    expect(mapping.columns[7]?.role).toBe('ignored');
    expect(report?.presses).toEqual([]);
  });

  test('a preview names the take that a file is already, by its bytes and as long as it is there', async () => {
    const { app, workspace } = await testApp();
    const text = smallLog();
    const known = async (content: string) =>
      (await previewOf(app, await upload(app, content, 'renamed.csv'), {})).known;
    expect(await known(text)).toEqual([]);
    const { id, title } = await addSmallTake(workspace, text, 'First');
    await addSmallTake(workspace, text, 'Copy');
    expect(await known(text)).toEqual([{ name: 'renamed.csv', takeId: id, title }]);
    expect(await known(`${text}\n`)).toEqual([]);
    await workspace.takes.remove(id);
    expect(await known(text)).toEqual([expect.objectContaining({ title: 'Copy' })]);
  });

  test('what is no log fails as a job, with the reason', async () => {
    const { app } = await testApp();
    const uploadId = await upload(app, '\x00\x01\x02 no log at all');
    const { jobId } = (await post(app, '/api/previews', { uploadIds: [uploadId], overrides: {} })).json();
    const job = await endOfJob(app, jobId);
    expect(job).toMatchObject({ state: 'failed', error: { code: 'LOG_FORMAT' } });
  });

  test('an upload that is not there any more fails as a job', async () => {
    const { app } = await testApp();
    const { jobId } = (await post(app, '/api/previews', { uploadIds: ['gone'], overrides: {} })).json();
    expect(await endOfJob(app, jobId)).toMatchObject({
      state: 'failed',
      error: { code: 'UPLOAD_NOT_FOUND' },
    });
  });

  test.each([
    ['a unit that is none', { gyroUnit: 'furlong' }],
    ['a time unit that is none', { timeUnit: 'fortnight' }],
  ])('%s fails as a job, in words and as no bug', async (_claim, overrides) => {
    const { app, logged } = await testApp();
    const uploadId = await upload(app, smallLog());
    const { jobId } = (await post(app, '/api/previews', { uploadIds: [uploadId], overrides })).json();
    expect(await endOfJob(app, jobId)).toMatchObject({ state: 'failed', error: { code: 'MAPPING' } });
    expect(logged).toEqual([]);
  });

  test('a mapping without a unit fails as a job, in words and as no bug', async () => {
    const { app, logged, workspace } = await testApp();
    const uploadId = await upload(app, smallLog());
    const { mapping } = await previewOf(app, uploadId, {});
    const columns = mapping.columns.map((column) => ({ ...column, unit: '' }));
    const jobId = await startTake(app, { ...NAMES, uploadIds: [uploadId], mapping: { ...mapping, columns } });
    expect(await endOfJob(app, jobId)).toMatchObject({ state: 'failed', error: { code: 'MAPPING' } });
    expect(logged).toEqual([]);
    expect(workspace.takes.list()).toEqual([]);
  });

  test('a stopped reading adds no take', async () => {
    const { app, workspace } = await testApp();
    const uploadId = await upload(app, smallLog(20_000));
    const { mapping } = await previewOf(app, uploadId, {});
    const jobId = await startTake(app, { ...NAMES, uploadIds: [uploadId], mapping });
    expect((await app.inject({ method: 'DELETE', url: `/api/jobs/${jobId}` })).statusCode).toBe(204);
    expect(await endOfJob(app, jobId)).toMatchObject({ state: 'cancelled' });
    expect(workspace.takes.list()).toEqual([]);
  });

  test('an upload can be given up', async () => {
    const { app, workspace } = await testApp();
    const uploadId = await upload(app, 'x');
    expect((await app.inject({ method: 'DELETE', url: `/api/uploads/${uploadId}` })).statusCode).toBe(204);
    await expect(workspace.uploads.sources([uploadId])).rejects.toMatchObject({ code: 'UPLOAD_NOT_FOUND' });
  });
});

describe('a take', () => {
  test('its document and its revision', async () => {
    const { app, workspace } = await testApp();
    const document = await addSmallTake(workspace);
    const response = await app.inject(`/api/takes/${document.id}`);
    expect(response.json()).toEqual(document);
    expect(response.headers).toMatchObject({ etag: '"0"', 'cache-control': 'no-store' });
  });

  test('one that is removed while its columns are looked for is not there, and no fault of the server', async () => {
    const { app, workspace } = await testApp();
    const { id } = await addSmallTake(workspace);
    const columnsOf = workspace.columns.bind(workspace);
    workspace.columns = async (takeId) => {
      const found = await columnsOf(takeId);
      await workspace.takes.remove(takeId);
      return found;
    };
    const response = await app.inject(`/api/takes/${id}/columns`);
    expect(response.statusCode).toBe(404);
    expect(response.json()).toMatchObject({ code: 'TAKE_NOT_FOUND' });
  });

  test('its columns are the bytes of the file, and are not sent twice', async () => {
    const { app, workspace } = await testApp();
    const { id } = await addSmallTake(workspace);
    const { path } = await workspace.columns(id);
    const url = `/api/takes/${id}/columns`;
    const first = await app.inject(url);
    expect(first.headers['content-type']).toBe('application/octet-stream');
    expect(first.rawPayload.equals(readFileSync(path))).toBe(true);
    const again = await app.inject({ url, headers: { 'if-none-match': String(first.headers.etag) } });
    expect([again.statusCode, again.rawPayload.length]).toEqual([304, 0]);
  });

  test('its source is the very file, under its own name, as a download', async () => {
    const { app, workspace } = await testApp();
    const text = smallLog().replaceAll('\n', '\r\n');
    const uploadId = await upload(app, text, `Übung "1" (a'b).csv`);
    const { mapping } = await workspace.preview([uploadId], {}, {});
    const { id } = await workspace.addTake({ ...NAMES, uploadIds: [uploadId], mapping }, {});
    const { rawPayload, headers } = await app.inject(`/api/takes/${id}/source/0`);
    expect(rawPayload.toString()).toBe(text);
    expect(headers['content-disposition']).toBe(
      "attachment; filename*=UTF-8''%C3%9Cbung%20%221%22%20%28a%27b%29.csv",
    );
    expect(headers['content-type']).toBe('application/octet-stream');
  });

  test('a change is answered with the changed take', async () => {
    const { app, workspace } = await testApp();
    const { id } = await addSmallTake(workspace);
    const labels = {
      presses: [{ downUs: 200_000, button: 'power_button', intent: 'stray', by: 'person' }],
      spans: [{ startUs: 0, endUs: 500_000, kind: 'spinning', by: 'person' }],
      swings: [{ startUs: 0, endUs: 500_000, peakUs: 100_000, by: 'program' }],
      gestures: [{ startUs: 100_000, endUs: 300_000, kind: 'thrust', by: 'person' }],
    };
    const calibration = {
      mount: { tip: '+z', side: '+x', correctionDeg: [1, -2, 0.5] },
      leverArmM: 0.12,
      bladeLengthM: 0.9,
      accelScale: 1.01,
      bias: 'auto',
    };
    const change = {
      title: 'T',
      performer: 'P',
      drill: 'D',
      notes: 'N',
      labels,
      calibration,
      powerButton: null,
    };
    const response = await app.inject({
      method: 'PATCH',
      url: `/api/takes/${id}`,
      payload: { revision: 0, ...change },
    });
    expect(response.json()).toMatchObject({ ...change, revision: 1 });
    expect(response.headers.etag).toBe('"1"');
    expect(workspace.takes.get(id)).toEqual(response.json());
  });

  test('it is deleted and brought back', async () => {
    const { app, workspace } = await testApp();
    const document = await addSmallTake(workspace);
    const url = `/api/takes/${document.id}`;
    expect((await app.inject({ method: 'DELETE', url })).statusCode).toBe(204);
    expect((await app.inject(url)).statusCode).toBe(404);
    const { takes, problems } = (await app.inject('/api/trash')).json();
    expect({ ids: takes.map((one: { id: string }) => one.id), problems }).toEqual({
      ids: [document.id],
      problems: [],
    });
    expect((await app.inject({ method: 'POST', url: `${url}/restore` })).json()).toEqual(document);
    expect((await app.inject(url)).statusCode).toBe(200);
  });

  test('a spoilt source is told of, not read', async () => {
    const { app, workspace } = await testApp();
    const { id, sources } = await addSmallTake(workspace);
    const { rm, writeFile } = await import('node:fs/promises');
    await rm((await workspace.columns(id)).path);
    await writeFile((await workspace.source(id, 0)).path, 'other');
    for (const part of ['columns', 'source/0']) {
      const response = await app.inject(`/api/takes/${id}/${part}`);
      expect([response.statusCode, response.json().code]).toEqual([422, 'STORE_CORRUPT']);
      expect(response.json().message).toContain(sources[0]?.name);
    }
  });
});

describe('candidates', () => {
  test('the first two differ in the hold; a change is kept', async () => {
    const { app } = await testApp();
    const { candidates } = (await app.inject('/api/workspace')).json();
    const b = withField(DEFAULT_CANDIDATE, 'guard.holdMs', 120);
    expect(candidates).toEqual({ revision: 0, a: DEFAULT_CANDIDATE, b });
    const a = withField(DEFAULT_CANDIDATE, 'guard.speedDps', 310);
    const response = await app.inject({
      method: 'PUT',
      url: '/api/candidates',
      payload: { revision: 0, a, b },
    });
    expect(response.json()).toEqual({ revision: 1, a, b });
    expect((await app.inject('/api/workspace')).json().candidates).toEqual({ revision: 1, a, b });
  });
});

const NAMES = { title: 'Quick turns', performer: 'Lead', drill: 'turns' };

async function previewOf(app: App, uploadId: string, overrides: unknown): Promise<UploadPreview> {
  const { jobId } = (await post(app, '/api/previews', { uploadIds: [uploadId], overrides })).json();
  return (await endOfJob(app, jobId)).result as UploadPreview;
}

async function startTake(app: App, body: NewTakeBody): Promise<string> {
  const response = await post(app, '/api/takes', body);
  expect(response.statusCode).toBe(202);
  return response.json().jobId;
}

function post(app: App, url: string, payload: object) {
  return app.inject({ method: 'POST', url, payload });
}

describe('reading a stored take again', () => {
  test('a preview of it, and the reading; the labels stay', async () => {
    const { app, workspace } = await testApp();
    const { id } = await addSmallTake(workspace);
    const stray = { downUs: 200_000, button: 'power_button', intent: 'stray', by: 'person' } as const;
    const labels = { presses: [stray], spans: [], swings: [] };
    await workspace.takes.change(id, 0, { labels });
    const previewed = await post(app, `/api/takes/${id}/previews`, {
      overrides: { reversed: [{ file: 0, index: 2 }] },
    });
    const { mapping } = (await endOfJob(app, previewed.json().jobId)).result as UploadPreview;
    const started = await post(app, `/api/takes/${id}/read`, { revision: 1, mapping, dropsLabels: false });
    const job = await endOfJob(app, started.json().jobId);
    expect(job.result).toEqual({ isStored: true, leftOut: null, notRemembered: null });
    const document = (await app.inject(`/api/takes/${id}`)).json();
    expect(document.labels.presses).toEqual([stray]);
    expect(document.mapping.columns[2]).toMatchObject({ name: 'gyro_y_dps', reversed: true });
  });
});
