import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import type { LiveNewsBody } from '../../server/http/schemas.ts';
import { SILENT_MS } from '../../server/store/recordings/pageRecordings.ts';
import { Recorder } from '../../server/store/recordings/recorder.ts';
import { STOP_NAME } from '../../server/store/recordings/recordingFiles.ts';
import { HEADER, liveRows, RATE_HZ } from '../cli/record/liveLog.ts';
import { type TestApp, testApp } from './testApp.ts';

const ABOUT = { source: 'a test', title: 'Live', performer: 'Beginner', drill: 'carry', joins: false };

async function recording({ workspace }: TestApp): Promise<Recorder> {
  const recorder = await Recorder.begin(workspace.recordings.root, ABOUT);
  onTestFinished(() => recorder.end(true).catch(() => {}));
  return recorder;
}

/** What is told of a recording from now on, until it is enough. */
async function news(
  { app }: TestApp,
  id: string,
  isEnough: (told: readonly LiveNewsBody[]) => boolean,
): Promise<LiveNewsBody[]> {
  if (!app.server.listening) await app.listen({ port: 0, host: '127.0.0.1' });
  const { port } = app.server.address() as { port: number };
  const leaving = new AbortController();
  const response = await fetch(`http://127.0.0.1:${port}/api/recordings/${id}/live`, {
    signal: leaving.signal,
  });
  expect(response.headers.get('content-type')).toBe('text/event-stream');
  expect(response.headers.get('x-content-type-options')).toBe('nosniff');
  const told: LiveNewsBody[] = [];
  let text = '';
  const decoder = new TextDecoder();
  for await (const chunk of response.body!) {
    const parts = (text + decoder.decode(chunk as Uint8Array, { stream: true })).split('\n\n');
    text = parts.pop()!;
    told.push(...parts.map((part) => JSON.parse(part.replace(/^data: /, ''))));
    if (isEnough(told)) break;
  }
  leaving.abort();
  return told;
}

const rowsOf = (told: readonly LiveNewsBody[]) =>
  told.flatMap(({ batches }) => batches.flatMap(({ timeUs }) => timeUs));

test('a page that looks on is told every row, once, with the reading that an upload would get', async () => {
  const server = await testApp();
  const recorder = await recording(server);
  recorder.receive(Buffer.from(HEADER + liveRows(0, 3000)));
  const told = news(server, recorder.id, (all) => rowsOf(all).length >= 4000);
  for (let row = 3000; row < 4000; row += 10) {
    recorder.receive(Buffer.from(liveRows(row, 10)));
    await new Promise((resolve) => setTimeout(resolve, 2));
  }
  const all = await told;
  expect(rowsOf(all)).toEqual(Array.from({ length: 4000 }, (_, i) => 1000 * i));
  const [reading] = all.flatMap((one) => one.reading ?? []);
  expect(reading!.rateHz).toBeCloseTo(RATE_HZ, 6);
  // The button is down from row 2301 on.
  const power = all.flatMap(({ batches }) => batches.flatMap((batch) => batch.power));
  expect(power.indexOf(1)).toBe(2301);
  const [first] = all.flatMap(({ batches }) => batches);
  expect([power.length, first!.deflection, first!.tellsReleases]).toEqual([4000, null, true]);
});

test('who looks on late is shown the end of what there is', async () => {
  const server = await testApp();
  const recorder = await recording(server);
  recorder.receive(Buffer.from(HEADER + liveRows(0, 60_000)));
  const all = await news(server, recorder.id, (told) => rowsOf(told).at(-1) === 59_999_000);
  const timesUs = rowsOf(all);
  expect(timesUs.length).toBeGreaterThan(10_000);
  expect(timesUs.length).toBeLessThan(60_000);
  expect(timesUs).toEqual(timesUs.map((_, i) => timesUs[0]! + 1000 * i));
});

test('what the log leaves open is told instead of rows', async () => {
  const server = await testApp();
  const recorder = await recording(server);
  recorder.receive(Buffer.from((HEADER + liveRows(0, 2000)).replace(/^[^,\n]*,/gm, '')));
  const all = await news(server, recorder.id, (told) => /rate/.test(told.at(-1)!.problems.join()));
  expect(rowsOf(all)).toEqual([]);
});

test('recordings are listed, asked to stop, handed out and removed', async () => {
  const server = await testApp();
  const { app, workspace } = server;
  const recorder = await recording(server);
  const text = HEADER + liveRows(0, 10);
  recorder.receive(Buffer.from(text));
  recorder.lose();
  const list = async () => (await app.inject('/api/recordings')).json();
  await expect.poll(async () => (await list()).recordings[0]?.isAway).toBe(true);
  expect(await list()).toMatchObject({
    recordings: [{ id: recorder.id, title: 'Live', state: 'running', timesAway: 1, questions: [] }],
    kept: [],
  });
  expect((await app.inject(`/api/recordings/${recorder.id}/log`)).body).toBe(text);
  const remove = () => app.inject({ method: 'DELETE', url: `/api/recordings/${recorder.id}` });
  expect((await remove()).statusCode).toBe(409);
  expect((await app.inject({ method: 'POST', url: `/api/recordings/${recorder.id}/stop` })).statusCode).toBe(
    204,
  );
  expect(existsSync(join(recorder.folder, STOP_NAME))).toBe(true);
  await recorder.end(true);
  expect((await list()).recordings).toMatchObject([{ state: 'ended', isAway: false }]);
  expect((await remove()).statusCode).toBe(204);
  expect((await remove()).statusCode).toBe(404);
  expect((await app.inject('/api/recordings/nothing/live')).statusCode).toBe(404);
  expect(await workspace.recordings.list()).toEqual([]);
});

const BYTES = { 'content-type': 'application/octet-stream' };

test('a page hands a device’s bytes on: they are kept, and gaps with them', async () => {
  const { app, workspace } = await testApp();
  const payload = { source: 'a port', title: 'From the page', performer: '', drill: '' };
  const begun = await app.inject({ method: 'POST', url: '/api/recordings', payload });
  expect(begun.statusCode).toBe(201);
  const { id } = begun.json();
  const post = async (what: string, body?: string) => {
    const more = body === undefined ? {} : { headers: BYTES, payload: Buffer.from(body) };
    return (await app.inject({ method: 'POST', url: `/api/recordings/${id}/${what}`, ...more })).statusCode;
  };
  expect(await post('bytes', `345,1\n${HEADER}${liveRows(0, 1000)}${liveRows(1000, 1).slice(0, 9)}`)).toBe(
    204,
  );
  expect(await post('lost')).toBe(204);
  expect(await post('back')).toBe(204);
  expect(await post('bytes', '')).toBe(204);
  expect(await post('bytes', `23\n${liveRows(2000, 1000)}`)).toBe(204);
  expect(await post('stop')).toBe(204);
  expect(await post('bytes', 'x')).toBe(409);
  await workspace.recordings.tend();
  const [take] = workspace.takes.list();
  expect(take).toMatchObject({ title: 'From the page', rateHz: RATE_HZ });
  expect(workspace.takes.get(take!.id).report).toMatchObject({ rows: 2000, badRowCount: 0, gaps: 1 });
});

test('one whose page is gone ends by itself, and one at which the server ends is kept', async () => {
  let nowMs = Date.now();
  const { app, workspace } = await testApp({ now: () => nowMs });
  const payload = { source: 'a port', title: 'Left', performer: '', drill: '' };
  const begin = async () => {
    const { id } = (await app.inject({ method: 'POST', url: '/api/recordings', payload })).json();
    const bytes = Buffer.from(HEADER + liveRows(0, 100));
    await app.inject({ method: 'POST', url: `/api/recordings/${id}/bytes`, headers: BYTES, payload: bytes });
    return id as string;
  };
  const left = await begin();
  nowMs += SILENT_MS - 1;
  await workspace.recordings.tend();
  expect((await workspace.recordings.get(left)).state).toBe('running');
  nowMs += 2;
  await workspace.recordings.tend();
  expect(workspace.takes.list()).toHaveLength(1);
  const open = await begin();
  await workspace.recordings.close();
  expect((await workspace.recordings.get(open)).state).toBe('ended');
});

test.each([
  [{ title: 'T', performer: '', drill: '' }, 'source'],
  [{ source: 's', title: 'T'.repeat(201), performer: '', drill: '' }, 'title'],
])('a recording with %j is refused', async (payload, field) => {
  const { app, workspace } = await testApp();
  const answer = await app.inject({ method: 'POST', url: '/api/recordings', payload });
  expect([answer.statusCode, answer.json().message.includes(field)]).toEqual([400, true]);
  expect(await workspace.recordings.list()).toEqual([]);
});
