import fc from 'fast-check';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Mapping } from '../../../server/ingest/ground/types.ts';
import { endOfJob, makeTestApp, type TestApp, upload } from '../../http/testApp.ts';
import { smallLog } from '../../store/smallLog.ts';
import { addSmallTake } from '../../store/temporaryWorkspace.ts';
import { FUZZ_TIMEOUT, fuzz } from './fuzz.ts';

let server: TestApp & { readonly close: () => Promise<void> };
let takeId = '';
let uploadId = '';
let mapping: Mapping;

beforeAll(async () => {
  server = await makeTestApp();
  ({ id: takeId, mapping } = await addSmallTake(server.workspace));
  uploadId = await upload(server.app, smallLog());
});
afterAll(() => server.close());

const METHODS = ['GET', 'POST', 'PUT', 'PATCH', 'DELETE', 'OPTIONS', 'HEAD'] as const;
const PATHS = [
  ...['workspace', 'takes', 'takes/TAKE', 'takes/TAKE/columns', 'takes/TAKE/previews', 'takes/TAKE/read'],
  ...[
    'takes/TAKE/restore',
    'takes/TAKE/source/0',
    'takes/TAKE/source/9',
    'trash',
    'uploads?name=a.csv',
    'uploads/UPLOAD',
  ],
  ...[
    'previews',
    'candidates',
    'settings',
    'settings/none',
    'mappings',
    'mappings/none',
    'jobs/none',
    'archives/offers',
  ],
  ...[
    'archives/plans',
    'archives',
    'archives/none',
    'recordings',
    'recordings/none/bytes',
    'recordings/none/live',
  ],
  ...['recordings/none/lost', 'schema', 'sheet', 'demo', 'nothing'],
] as const;

const word = fc.oneof(
  fc.string({ maxLength: 12 }),
  fc.constantFrom('..', '%2e%2e%2f', '%00', '%zz', 'a'.repeat(400), '✕', '"'),
);
const path = fc.oneof(
  { weight: 6, arbitrary: fc.constantFrom(...PATHS) },
  {
    weight: 2,
    arbitrary: fc.tuple(fc.constantFrom(...PATHS), word).map(([base, more]) => `${base}/${more}`),
  },
  {
    weight: 1,
    arbitrary: fc.tuple(fc.constantFrom(...PATHS), word, word).map(([base, k, v]) => `${base}?${k}=${v}`),
  },
);
const KEYS = [
  'revision',
  'uploadIds',
  'mapping',
  'overrides',
  'labels',
  'title',
  'a',
  'b',
  'takeIds',
  'name',
  'candidate',
  'rateHz',
  'files',
  'columns',
];
const body = fc.oneof(
  fc.constant(undefined),
  fc.jsonValue({ maxDepth: 3 }).map((value) => JSON.stringify(value)),
  fc
    .dictionary(
      fc.constantFrom(...KEYS),
      fc.oneof(fc.jsonValue({ maxDepth: 2 }), fc.constantFrom<unknown>(['UPLOAD'], 0, 'TAKE', {})),
    )
    .map((value) => JSON.stringify(value)),
  fc.string({ maxLength: 200 }),
);
const type = fc.constantFrom(
  'application/json',
  'application/octet-stream',
  'text/plain',
  'application/json; charset=utf-16',
  '',
  'x',
);

test('no request is answered with a fault of ours', FUZZ_TIMEOUT, async () => {
  const request = fc.record({ method: fc.constantFrom(...METHODS), path, body, type });
  await fuzz('requests', request, 400, async ({ method, path: to, body: payload, type: kind }) => {
    const { app, logged } = server;
    logged.length = 0;
    const fill = (text: string) => text.replaceAll('TAKE', takeId).replaceAll('UPLOAD', uploadId);
    if (to.startsWith('recordings') && to.endsWith('live')) return;
    const response = await app.inject({
      method,
      url: `/api/${fill(to)}`,
      ...(kind !== '' && { headers: { 'content-type': kind } }),
      ...(payload !== undefined && { payload: fill(payload) }),
    });
    expect([response.statusCode >= 500, logged]).toEqual([false, []]);
    if (response.statusCode >= 400 && method !== 'HEAD') {
      const { code, message } = response.json();
      expect([typeof code, typeof message]).toEqual(['string', 'string']);
    }
    if (response.statusCode === 202) {
      const end = await endOfJob(app, response.json().jobId);
      expect(end.error?.code).not.toBe('INTERNAL');
    }
    // What such a request may rightly do is undone, so that the next one finds the same.
    if (server.workspace.takes.list().every(({ id }) => id !== takeId))
      await server.workspace.takes.restore(takeId);
    await server.workspace.uploads.sources([uploadId]).catch(async () => {
      uploadId = await upload(app, smallLog());
    });
  });
});

test(
  'a mapping that was changed at random makes a sound take, or is refused in words',
  FUZZ_TIMEOUT,
  async () => {
    const odd = fc.oneof(
      fc.constantFrom<unknown>(
        null,
        '',
        ',',
        ';',
        '\n',
        'x',
        0,
        1,
        2,
        7,
        8,
        99,
        -1,
        1e-300,
        1e300,
        true,
        [],
        {},
        'gyroX',
        'accelY',
        'time',
      ),
      fc.constantFrom<unknown>(
        'ignored',
        'button',
        'label',
        's',
        'ms',
        'counter',
        'iso8601',
        'lsb:0',
        'lsb:1e-300',
        'deg/s',
        'g',
        'level',
        'above:5',
      ),
      fc.jsonValue({ maxDepth: 1 }),
    );
    await fuzz(
      'mappings',
      fc.array(fc.tuple(fc.nat(500), odd), { minLength: 1, maxLength: 3 }),
      200,
      async (edits) => {
        const { app, workspace, logged } = server;
        logged.length = 0;
        const changed = structuredClone(mapping) as unknown;
        for (const [at, value] of edits) {
          const places: [Record<string, unknown>, string][] = [];
          const walk = (one: unknown): void => {
            if (typeof one !== 'object' || one === null) return;
            for (const key of Object.keys(one)) {
              places.push([one as Record<string, unknown>, key]);
              walk((one as Record<string, unknown>)[key]);
            }
          };
          walk(changed);
          const [parent, key] = places[at % places.length]!;
          parent[key] = value;
        }
        const payload = {
          uploadIds: [await upload(app, smallLog())],
          mapping: changed,
          title: 'T',
          performer: '',
          drill: '',
        };
        const response = await app.inject({ method: 'POST', url: '/api/takes', payload });
        expect([response.statusCode === 202 || response.statusCode === 400, logged]).toEqual([true, []]);
        if (response.statusCode !== 202) return;
        const end = await endOfJob(app, response.json().jobId);
        expect(logged).toEqual([]);
        if (end.state !== 'done') return;
        const { takeId: id } = end.result as { takeId: string };
        const columns = await app.inject(`/api/takes/${id}/columns`);
        expect(columns.statusCode).toBe(200);
        expect((await app.inject(`/api/takes/${id}`)).body).not.toMatch(
          /"(rateHz|durationS|peakRateDps|peakAccelG)":null,"(durationS|rows|presses)/,
        );
        await workspace.takes.remove(id);
      },
    );
  },
);
