import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DEFAULT_CANDIDATE } from '../../server/engine/candidateRules.ts';
import type { TakeDocument } from '../../server/store/documents.ts';
import { DiskFullError, fromSystemError } from '../../server/store/errors.ts';
import { smallLog } from '../store/smallLog.ts';
import { addSmallTake, uploadText } from '../store/temporaryWorkspace.ts';
import { makeTestApp, testApp } from './testApp.ts';

type Method = 'GET' | 'POST' | 'PUT' | 'PATCH' | 'DELETE' | 'OPTIONS';

interface Row {
  readonly method: Method;
  readonly url: string;
  readonly body?: unknown;
  readonly headers?: Record<string, string>;
  readonly status: number;
  readonly code: string;
  /** Part of the message or the path. */
  readonly says?: string;
}

const A = DEFAULT_CANDIDATE;
const badGuard = (guard: object): unknown => ({
  revision: 0,
  a: { ...A, guard: { ...A.guard, ...guard } },
  b: A,
});
const patch = (body: unknown): Pick<Row, 'method' | 'url' | 'body'> => ({
  method: 'PATCH',
  url: '/api/takes/TAKE',
  body,
});
const press = { downUs: 1, button: 'b', intent: 'stray', by: 'person' };
const labels = (presses: unknown[]): unknown => ({ revision: 0, labels: { presses, spans: [], swings: [] } });
const calibration = {
  mount: { tip: '+x', side: '+y' },
  leverArmM: 0,
  bladeLengthM: 1,
  accelScale: 1,
  bias: 'auto',
};
const preview = (overrides: unknown): Pick<Row, 'method' | 'url' | 'body'> => ({
  method: 'POST',
  url: '/api/previews',
  body: { uploadIds: ['UPLOAD'], overrides },
});

const INVALID = { status: 400, code: 'INVALID_REQUEST' } as const;

const ROWS: Readonly<Record<string, Row>> = {
  'an unknown address of the API': { method: 'GET', url: '/api/nothing', status: 404, code: 'NOT_FOUND' },
  'an unknown address outside it': { method: 'GET', url: '/nothing', status: 404, code: 'NOT_FOUND' },
  'the bare API': { method: 'GET', url: '/api', status: 404, code: 'NOT_FOUND' },
  'a method that an address does not know': {
    method: 'PUT',
    url: '/api/workspace',
    status: 404,
    code: 'NOT_FOUND',
  },
  'an address that is not well formed': {
    method: 'GET',
    url: '/api/takes/%zz',
    status: 400,
    code: 'BAD_REQUEST',
  },

  'an unknown take': { method: 'GET', url: '/api/takes/none', status: 404, code: 'TAKE_NOT_FOUND' },
  'columns of an unknown take': {
    method: 'GET',
    url: '/api/takes/none/columns',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'a source of an unknown take': {
    method: 'GET',
    url: '/api/takes/none/source/0',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'a source that the take has not': {
    method: 'GET',
    url: '/api/takes/TAKE/source/1',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'a source that is no number': { method: 'GET', url: '/api/takes/TAKE/source/-1', ...INVALID },
  'deleting an unknown take': {
    method: 'DELETE',
    url: '/api/takes/none',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'restoring what is not in the trash': {
    method: 'POST',
    url: '/api/takes/none/restore',
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'changing an unknown take': {
    method: 'PATCH',
    url: '/api/takes/none',
    body: { revision: 0 },
    status: 404,
    code: 'TAKE_NOT_FOUND',
  },
  'an id that walks out of the workspace': {
    method: 'GET',
    url: '/api/takes/..%2F..%2Fcandidates',
    ...INVALID,
  },
  'an id that walks out, for deleting': { method: 'DELETE', url: '/api/takes/..%2Ftrash', ...INVALID },
  'an id that walks out, for restoring': { method: 'POST', url: '/api/takes/..%2Ftakes/restore', ...INVALID },
  'an id with capitals': { method: 'GET', url: '/api/takes/Take', ...INVALID },
  'an id with a zero byte': { method: 'GET', url: '/api/takes/a%00b', ...INVALID },

  'an unknown upload': { method: 'DELETE', url: '/api/uploads/none', status: 404, code: 'UPLOAD_NOT_FOUND' },
  'an upload that walks out': { method: 'DELETE', url: '/api/uploads/..%2Ftakes', ...INVALID },
  'an upload without a name': {
    method: 'POST',
    url: '/api/uploads',
    headers: { 'content-type': 'application/octet-stream' },
    body: 'x',
    ...INVALID,
    says: 'name',
  },
  'an upload with a word too much': {
    method: 'POST',
    url: '/api/uploads?name=a&to=b',
    headers: { 'content-type': 'application/octet-stream' },
    body: 'x',
    ...INVALID,
    says: '"to"',
  },
  'an upload as JSON': {
    method: 'POST',
    url: '/api/uploads?name=a',
    body: {},
    status: 415,
    code: 'MEDIA_TYPE',
  },
  'an upload as a form': {
    method: 'POST',
    url: '/api/uploads?name=a',
    headers: { 'content-type': 'multipart/form-data; boundary=x' },
    body: '--x--',
    status: 415,
    code: 'MEDIA_TYPE',
  },

  'an unknown job': { method: 'GET', url: '/api/jobs/none', status: 404, code: 'JOB_NOT_FOUND' },
  'stopping an unknown job': { method: 'DELETE', url: '/api/jobs/none', status: 404, code: 'JOB_NOT_FOUND' },

  'a preview without uploads': {
    method: 'POST',
    url: '/api/previews',
    body: { uploadIds: [], overrides: {} },
    ...INVALID,
    says: 'body/uploadIds',
  },
  'a preview of one upload twice': {
    method: 'POST',
    url: '/api/previews',
    body: { uploadIds: ['a', 'a'], overrides: {} },
    ...INVALID,
  },
  'a preview of an id that walks out': {
    method: 'POST',
    url: '/api/previews',
    body: { uploadIds: ['../x'], overrides: {} },
    ...INVALID,
  },
  'an override of an unknown name': { ...preview({ rate: 100 }), ...INVALID, says: '"rate"' },
  'a rate as text': { ...preview({ rateHz: '100' }), ...INVALID, says: 'body/overrides/rateHz' },
  'a rate of nothing': { ...preview({ rateHz: null }), ...INVALID },
  'a rate of zero': { ...preview({ rateHz: 0 }), ...INVALID },
  'an unknown role': {
    ...preview({ roles: [{ file: 0, index: 0, role: 'magX' }] }),
    ...INVALID,
    says: 'gyroX',
  },
  'an unknown axis': { ...preview({ mount: { tip: 'x', side: '+y' } }), ...INVALID, says: '+x' },
  'a take without a mapping': {
    method: 'POST',
    url: '/api/takes',
    body: { uploadIds: ['a'], title: '', performer: '', drill: '' },
    ...INVALID,
    says: 'mapping',
  },

  'a change that is no JSON': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'application/json' },
    body: '{"revision":',
    status: 400,
    code: 'BAD_JSON',
  },
  'a change of nothing': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'application/json' },
    body: '',
    status: 400,
    code: 'BAD_JSON',
  },
  'a change as plain text': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'text/plain' },
    body: '{"revision":0}',
    status: 415,
    code: 'MEDIA_TYPE',
  },
  'a change that reaches for the prototype': {
    method: 'PATCH',
    url: '/api/takes/TAKE',
    headers: { 'content-type': 'application/json' },
    body: '{"revision":0,"__proto__":{"isDemo":true}}',
    status: 400,
    code: 'BAD_JSON',
  },
  'a change larger than is taken': {
    ...patch({ revision: 0, notes: 'x'.repeat(9_000_000) }),
    status: 413,
    code: 'BODY_TOO_LARGE',
  },
  'a change without a revision': { ...patch({ title: 'x' }), ...INVALID, says: 'revision' },
  'a change from an old revision': { ...patch({ revision: 7 }), status: 409, code: 'STORE_CONFLICT' },
  'a revision as text, which is not made a number': {
    ...patch({ revision: '0' }),
    ...INVALID,
    says: 'body/revision',
  },
  'a revision that is true, which is not made 1': { ...patch({ revision: true }), ...INVALID },
  'a revision of null, which is not made 0': { ...patch({ revision: null }), ...INVALID },
  'a title that is a number, which is not made text': { ...patch({ revision: 0, title: 5 }), ...INVALID },
  'a misspelt key, which is not dropped': {
    ...patch({ revision: 0, titel: 'x' }),
    ...INVALID,
    says: '"titel"',
  },
  'a key that only the server may set': {
    ...patch({ revision: 0, isDemo: true }),
    ...INVALID,
    says: '"isDemo"',
  },
  'a label with a key too much': {
    ...patch(labels([{ ...press, why: '' }])),
    ...INVALID,
    says: 'body/labels/presses/0',
  },
  'a label of an unknown intent': {
    ...patch(labels([{ ...press, intent: 'maybe' }])),
    ...INVALID,
    says: 'wanted, stray, unsure',
  },
  'a label at half a microsecond': { ...patch(labels([{ ...press, downUs: 0.5 }])), ...INVALID },
  'a label before the take': { ...patch(labels([{ ...press, downUs: -1 }])), ...INVALID },
  'a gesture of an unknown kind': {
    ...patch({
      revision: 0,
      labels: {
        presses: [],
        spans: [],
        swings: [],
        gestures: [{ startUs: 0, endUs: 1, kind: 'cut', by: 'person' }],
      },
    }),
    ...INVALID,
    says: 'thrust, hit, twist',
  },
  'a blade without length': {
    ...patch({ revision: 0, calibration: { ...calibration, bladeLengthM: 0 } }),
    ...INVALID,
    says: 'bladeLengthM',
  },
  'a mount of one axis': {
    ...patch({ revision: 0, calibration: { ...calibration, mount: { tip: '+x', side: '-x' } } }),
    status: 422,
    code: 'TAKE_CHANGE',
    says: 'mount',
  },
  'a button that the take has not': {
    ...patch({ revision: 0, powerButton: 'trigger' }),
    status: 422,
    code: 'TAKE_CHANGE',
    says: 'trigger',
  },

  'candidates from an old revision': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 3, a: A, b: A },
    status: 409,
    code: 'STORE_CONFLICT',
  },
  'candidates without the second': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 0, a: A },
    ...INVALID,
    says: "'b'",
  },
  'candidates with a third': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 0, a: A, b: A, c: A },
    ...INVALID,
    says: '"c"',
  },
  'a candidate that is a list': {
    method: 'PUT',
    url: '/api/candidates',
    body: { revision: 0, a: [], b: A },
    ...INVALID,
    says: 'body/a',
  },
  'a candidate out of bounds': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ speedDps: -1 }),
    status: 422,
    code: 'CANDIDATE',
    says: 'guard.speedDps',
  },
  'a candidate with text for a number': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ holdMs: '200' }),
    status: 422,
    code: 'CANDIDATE',
    says: 'guard.holdMs',
  },
  'a candidate with null for a number': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ holdMs: null }),
    status: 422,
    code: 'CANDIDATE',
  },
  'a candidate with a key too much': {
    method: 'PUT',
    url: '/api/candidates',
    body: badGuard({ hold: 1 }),
    status: 422,
    code: 'CANDIDATE',
    says: 'guard.hold',
  },
};

describe('every refusal has its status, its code and a message, and changes nothing', () => {
  // One server for all rows: what a row must not change, it may not change for the next one either.
  let shared: Awaited<ReturnType<typeof makeTestApp>>;
  let before: TakeDocument;
  let uploadId = '';
  beforeAll(async () => {
    shared = await makeTestApp();
    before = await addSmallTake(shared.workspace);
    uploadId = await uploadText(shared.workspace, smallLog());
  });
  afterAll(() => shared.close());

  test.each(Object.entries(ROWS))('%s', async (_claim, row) => {
    const { app, workspace, logged } = shared;
    const fill = (text: string): string => text.replace('TAKE', before.id).replace('UPLOAD', uploadId);
    const isJson = row.body !== undefined && row.headers === undefined;
    const response = await app.inject({
      method: row.method,
      url: fill(row.url),
      headers: isJson ? { 'content-type': 'application/json' } : (row.headers ?? {}),
      ...(row.body !== undefined && { payload: isJson ? fill(JSON.stringify(row.body)) : String(row.body) }),
    });
    const body = response.json();
    expect([response.statusCode, body.code]).toEqual([row.status, row.code]);
    expect(body.message).toMatch(/^.{10,}$/s);
    expect(`${body.message} ${body.path}`).toContain(row.says ?? '');
    expect(Object.keys(body).filter((key) => !['code', 'message', 'path'].includes(key))).toEqual([]);
    expect(response.headers['content-type']).toBe('application/json; charset=utf-8');
    expect(logged).toEqual([]);
    expect(workspace.takes.get(before.id)).toEqual(before);
    expect(workspace.candidates.get().revision).toBe(0);
  });
});

describe('a bug', () => {
  test('is told of without its inside, and in full on the terminal', async () => {
    const { app, workspace, logged } = await testApp();
    const secret = new Error(`the secret of ${workspace.path}`);
    workspace.takes.get = (): TakeDocument => {
      throw secret;
    };
    const response = await app.inject('/api/takes/any');
    expect(response.statusCode).toBe(500);
    expect(response.json()).toEqual({ code: 'INTERNAL', message: expect.stringContaining('terminal') });
    expect(response.body).not.toContain('secret');
    expect(logged).toEqual([secret]);
  });

  test('of the system is no refusal either, whatever its own code', async () => {
    const { app, workspace } = await testApp();
    workspace.takes.get = (): TakeDocument => {
      throw Object.assign(new Error('EACCES: /secret'), { code: 'EACCES', statusCode: 400 });
    };
    const response = await app.inject('/api/takes/any');
    expect([response.statusCode, response.json().code]).toEqual([500, 'INTERNAL']);
  });

  test('that is a full disk is said to be one', async () => {
    const { app, workspace } = await testApp();
    const full = fromSystemError(Object.assign(new Error('ENOSPC: write'), { code: 'ENOSPC' }));
    expect(full).toBeInstanceOf(DiskFullError);
    workspace.takes.change = () => Promise.reject(full);
    const response = await app.inject({ method: 'PATCH', url: '/api/takes/any', payload: { revision: 0 } });
    expect([response.statusCode, response.json().code]).toEqual([507, 'DISK_FULL']);
  });
});
