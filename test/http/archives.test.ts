import { describe, expect, test } from 'vitest';
import { ZipFile } from 'yazl';
import type { Workspace } from '../../server/store/workspace.ts';
import { madeSetting } from '../engine/kept/madeSetting.ts';
import { addSmallTake } from '../store/temporaryWorkspace.ts';
import { endOfJob, makeTestApp, testApp } from './testApp.ts';

type App = Awaited<ReturnType<typeof testApp>>['app'];

const send = (app: App, url: string, payload: object) => app.inject({ method: 'POST', url, payload });

async function uploadZip(app: App, bytes: Buffer): Promise<string> {
  const response = await app.inject({
    method: 'POST',
    url: '/api/uploads?name=takes.zip',
    headers: { 'content-type': 'application/octet-stream' },
    payload: bytes,
  });
  return response.json().uploadId;
}

async function fetched(app: App, takeIds: readonly string[] | null): Promise<Buffer> {
  const { archiveId } = (await send(app, '/api/archives/offers', { takeIds })).json();
  const response = await app.inject(`/api/archives/${archiveId}`);
  expect(response.headers['content-type']).toBe('application/zip');
  expect(response.headers['content-disposition']).toMatch(/^attachment; filename="moulinet-[\d-]{10}\.zip"$/);
  return response.rawPayload;
}

const titles = (workspace: Workspace) => workspace.takes.list().map(({ title }) => title);

describe('takes as a zip', () => {
  test('go from one workspace to another, which is told first what it would bring, and never twice', async () => {
    const from = await testApp();
    const take = await addSmallTake(from.workspace);
    await from.workspace.settings.add(madeSetting());
    const offer = await send(from.app, '/api/archives/offers', { takeIds: null });
    expect(offer.json().sizeBytes).toBe(take.sources[0]!.sizeBytes);
    const bytes = await fetched(from.app, null);

    const to = await testApp();
    const uploadId = await uploadZip(to.app, bytes);
    const plan = await send(to.app, '/api/archives/plans', { uploadId });
    expect(plan.json()).toEqual({
      takes: [{ id: take.id, title: take.title, performer: take.performer, does: 'new' }],
      newMappings: 0,
      settings: [{ name: 'Lead spinner, spring', does: 'new' }],
    });
    expect(titles(to.workspace)).toEqual([]);

    const { jobId } = (await send(to.app, '/api/archives', { uploadId })).json();
    expect(await endOfJob(to.app, jobId)).toMatchObject({ state: 'done', result: { takeIds: [take.id] } });
    expect(to.workspace.takes.get(take.id)).toMatchObject({ title: take.title, labels: take.labels });
    // The upload is used up; the same zip again changes nothing.
    expect((await send(to.app, '/api/archives/plans', { uploadId })).statusCode).toBe(404);
    const again = await uploadZip(to.app, bytes);
    const second = (await send(to.app, '/api/archives/plans', { uploadId: again })).json();
    expect([...second.takes, ...second.settings].map(({ does }) => does)).toEqual(['here', 'here']);
  });

  test('may be some of them', async () => {
    const { app, workspace } = await testApp();
    const first = await addSmallTake(workspace);
    await workspace.takes.change(first.id, 0, { title: 'One' });
    await addSmallTake(workspace);
    const to = await testApp();
    const uploadId = await uploadZip(to.app, await fetched(app, [first.id]));
    const plan = (await send(to.app, '/api/archives/plans', { uploadId })).json();
    expect(plan.takes.map(({ title }: { title: string }) => title)).toEqual(['One']);
  });

  test.each([
    ['a name that climbs out', '../../evil.json', 'invalid relative path'],
    ['a file that is none of ours', 'notes.txt', 'no archive of this program has such a name'],
  ])('with %s is refused as a whole', async (_what, name, words) => {
    const { app, workspace } = await testApp();
    const bytes = await zipOf(name.replace('../../', 'a/b/c/'), name);
    const uploadId = await uploadZip(app, bytes);
    for (const url of ['/api/archives/plans', '/api/archives']) {
      const response = await send(app, url, { uploadId });
      const body =
        response.statusCode === 202 ? (await endOfJob(app, response.json().jobId)).error : response.json();
      expect(body).toMatchObject({ code: 'LOG_FORMAT' });
      expect(body.message).toContain(words);
    }
    expect(titles(workspace)).toEqual([]);
  });

  test('that is no zip is refused with its name', async () => {
    const { app } = await testApp();
    const uploadId = await uploadZip(app, Buffer.from('time,gx\n1,2\n'));
    const response = await send(app, '/api/archives/plans', { uploadId });
    expect(response.statusCode).toBe(422);
    expect(response.json().message).toContain('takes.zip: it is no zip file that can be read');
  });

  test('larger than is taken is refused while it is sent', async () => {
    const { app, close } = await makeTestApp({ uploadLimitBytes: 1000 });
    const response = await app.inject({
      method: 'POST',
      url: '/api/uploads?name=takes.zip',
      headers: { 'content-type': 'application/octet-stream' },
      payload: Buffer.alloc(2000),
    });
    expect(response.statusCode).toBe(413);
    await close();
  });

  test.each([
    ['/api/archives/offers', { takeIds: ['none'] }, 404],
    ['/api/archives/offers', { takeIds: [] }, 400],
    ['/api/archives/plans', { uploadId: 'none' }, 404],
    ['/api/archives', { uploadId: 'none' }, 404],
    ['/api/archives', {}, 400],
  ])('%s of %j is refused', async (url, payload, status) => {
    const { app } = await testApp();
    expect((await send(app, url, payload)).statusCode).toBe(status);
  });

  test('one that is not offered is not there', async () => {
    const { app } = await testApp();
    expect((await app.inject('/api/archives/abc')).statusCode).toBe(404);
  });
});

/** A zip with one entry, renamed in its bytes, for no honest program writes such a name. */
async function zipOf(name: string, as: string): Promise<Buffer> {
  const zip = new ZipFile();
  zip.addBuffer(Buffer.from('{}'), name);
  zip.end();
  const chunks: Buffer[] = [];
  for await (const chunk of zip.outputStream) chunks.push(chunk as Buffer);
  return Buffer.from(Buffer.concat(chunks).toString('latin1').replaceAll(name, as), 'latin1');
}
