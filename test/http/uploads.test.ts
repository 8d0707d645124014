import { once } from 'node:events';
import { readdirSync, readFileSync } from 'node:fs';
import { request } from 'node:http';
import { connect } from 'node:net';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Workspace } from '../../server/store/workspace.ts';
import { type TestApp, testApp } from './testApp.ts';

const LIMIT = 300_000;
const PATH = '/api/uploads?name=log.csv';
const HEADERS = { 'content-type': 'application/octet-stream' };

describe('an upload over a real connection', () => {
  test('is kept byte for byte, also when its length is not announced', async () => {
    const { port, workspace } = await listening();
    const bytes = Buffer.from(Uint8Array.from({ length: LIMIT }, (_, i) => i % 253));
    for (const headers of [HEADERS, { ...HEADERS, 'content-length': String(LIMIT) }]) {
      const { status, body } = await send(port, headers, [bytes.subarray(0, 1000), bytes.subarray(1000)]);
      expect([status, body.sizeBytes]).toEqual([201, LIMIT]);
      const [source] = await workspace.uploads.sources([body.uploadId]);
      expect(readFileSync(source!.path).equals(bytes)).toBe(true);
    }
  });

  test.each([
    ['announced', { ...HEADERS, 'content-length': String(LIMIT + 1) }],
    ['not announced', HEADERS],
  ])(
    'that is too large, %s beforehand, is refused in words; nothing of it stays',
    async (_claim, headers) => {
      const { port, workspace } = await listening();
      const { status, body } = await send(port, headers, [Buffer.alloc(LIMIT), Buffer.alloc(1)]);
      expect([status, body.code]).toEqual([413, 'UPLOAD_TOO_LARGE']);
      expect(body.message).toContain('MiB');
      await untilEmpty(workspace);
    },
  );

  test.each([
    ['announced', `content-length: ${LIMIT}\r\n\r\n`],
    ['not announced', 'transfer-encoding: chunked\r\n\r\n2000\r\n'],
  ])('whose connection drops in the middle, its length %s, leaves nothing behind', async (_claim, rest) => {
    const { port, workspace, logged } = await listening();
    const socket = connect(port, '127.0.0.1');
    const head = `POST ${PATH} HTTP/1.1\r\nhost: localhost\r\ncontent-type: application/octet-stream\r\n`;
    socket.write(`${head}${rest}${'x'.repeat(0x1000)}`);
    // The upload has begun once its folder is there.
    await until(() => readdirSync(join(workspace.path, 'uploads')).length === 1);
    socket.destroy();
    await untilEmpty(workspace);
    expect(logged).toEqual([]);
  });

  test('from another page is refused before a byte of it is kept', async () => {
    const { port, workspace } = await listening();
    const headers = { ...HEADERS, origin: 'http://example.org' };
    const { status } = await send(port, headers, [Buffer.alloc(1000)]);
    expect(status).toBe(403);
    expect(readdirSync(join(workspace.path, 'uploads'))).toEqual([]);
  });
});

test('what is no HTTP at all is refused in the same shape', async () => {
  const { port } = await listening();
  const socket = connect(port, '127.0.0.1');
  socket.write('HELLO\r\n\r\n');
  let text = '';
  for await (const chunk of socket) text += chunk;
  const [head = '', body = ''] = text.split('\r\n\r\n');
  expect(head).toMatch(/^HTTP\/1\.1 400 /);
  expect(JSON.parse(body)).toEqual({ code: 'BAD_REQUEST', message: expect.any(String) });
});

async function listening(): Promise<TestApp & { readonly port: number }> {
  const test = await testApp({ uploadLimitBytes: LIMIT });
  await test.app.listen({ port: 0, host: '127.0.0.1' });
  const address = test.app.server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return { ...test, port: address.port };
}

async function send(
  port: number,
  headers: Record<string, string>,
  parts: readonly Buffer[],
): Promise<{ status: number | undefined; body: Record<string, unknown> & { uploadId: string } }> {
  const outgoing = request({ host: '127.0.0.1', port, path: PATH, method: 'POST', headers });
  for (const part of parts) outgoing.write(part);
  outgoing.end();
  const [response] = await once(outgoing, 'response');
  let text = '';
  for await (const chunk of response) text += chunk;
  return { status: response.statusCode, body: JSON.parse(text) };
}

function untilEmpty(workspace: Workspace): Promise<void> {
  return until(() => readdirSync(join(workspace.path, 'uploads')).length === 0);
}

/** Ends with the test's own time limit where it never comes true. */
async function until(isTrue: () => boolean): Promise<void> {
  while (!isTrue()) await new Promise((resolve) => setImmediate(resolve));
}
