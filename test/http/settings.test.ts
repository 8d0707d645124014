import { expect, test } from 'vitest';
import { formatKeptFile } from '../../server/engine/kept/keptFile.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import { testApp } from './testApp.ts';

const BODY = {
  name: 'Lead spinner',
  prop: '',
  performers: ['Lead spinner'],
  note: '',
  candidate: DEFAULT_CANDIDATE,
  evidence: null,
};

test('a setting is kept, listed, changed, removed and brought back', async () => {
  const { app } = await testApp();
  const kept = await app.inject({ method: 'POST', url: '/api/settings', payload: BODY });
  expect(kept.statusCode).toBe(201);
  const setting = kept.json();
  const list = async () => (await app.inject('/api/settings')).json();
  expect(await list()).toEqual({ settings: [setting], problems: [] });
  const url = `/api/settings/${setting.id}`;
  const put = (revision: number) =>
    app.inject({ method: 'PUT', url, payload: { ...BODY, revision, note: 'firmer' } });
  expect((await put(0)).json()).toMatchObject({ note: 'firmer', revision: 1, keptAt: setting.keptAt });
  const late = await put(0);
  expect([late.statusCode, late.json().code]).toEqual([409, 'STORE_CONFLICT']);
  expect((await app.inject({ method: 'DELETE', url })).statusCode).toBe(204);
  expect((await put(1)).statusCode).toBe(404);
  expect((await app.inject({ method: 'POST', url: `${url}/restore` })).json()).toMatchObject({ revision: 1 });
});

test('the file of a setting is read as it is; what is none is refused by its place', async () => {
  const { app } = await testApp();
  const send = (text: string) =>
    app.inject({ method: 'POST', url: '/api/settings/files', payload: { text } });
  const setting = { ...BODY, keptAt: '2026-05-01T10:00:00.000Z' };
  const read = await send(formatKeptFile(setting));
  expect(read.statusCode).toBe(201);
  expect(read.json()).toMatchObject(setting);
  const wrong = await send(formatKeptFile(setting).replace('"speedDps": 240', '"speedDps": -5'));
  expect(wrong.statusCode).toBe(422);
  expect(wrong.json().message).toContain('candidate.guard.speedDps');
  expect((await send('time,ax')).statusCode).toBe(422);
});

test.each([
  ['no name', { name: '' }],
  ['a performer without a name', { performers: [''] }],
  ['something unknown', { colour: 'red' }],
  ['a candidate that is none', { candidate: { guard: {} } }],
  ['evidence that is none', { evidence: { judgedAt: 'today' } }],
])('a setting with %s is refused, and nothing is kept', async (_, change) => {
  const { app } = await testApp();
  const answer = await app.inject({ method: 'POST', url: '/api/settings', payload: { ...BODY, ...change } });
  expect([400, 422]).toContain(answer.statusCode);
  expect((await app.inject('/api/settings')).json().settings).toEqual([]);
});
