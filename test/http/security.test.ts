import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { temporaryFolder } from '../store/temporaryFolder.ts';
import { testApp } from './testApp.ts';

const OK = 200;

describe('who may ask', () => {
  test.each([
    ['localhost', OK, ''],
    ['localhost:4620', OK, ''],
    ['127.0.0.1:4620', OK, ''],
    ['[::1]:4620', OK, ''],
    ['example.org', 403, 'FORBIDDEN_HOST'],
    ['example.org:4620', 403, 'FORBIDDEN_HOST'],
    ['localhost.example.org', 403, 'FORBIDDEN_HOST'],
    ['127.0.0.1.example.org', 403, 'FORBIDDEN_HOST'],
    ['localhost:4620@example.org', 403, 'FORBIDDEN_HOST'],
    ['192.168.0.2:4620', 403, 'FORBIDDEN_HOST'],
  ])('a request to the host %j is answered with %d', async (host, status, code) => {
    const { app } = await testApp();
    const response = await app.inject({ url: '/api/workspace', headers: { host } });
    expect([response.statusCode, response.json().code ?? '']).toEqual([status, code]);
  });

  test.each([
    ['http://localhost:4620', OK, ''],
    ['http://localhost:4621', 403, 'FORBIDDEN_ORIGIN'],
    ['http://127.0.0.1:4620', 403, 'FORBIDDEN_ORIGIN'],
    ['https://localhost:4620', 403, 'FORBIDDEN_ORIGIN'],
    ['http://example.org', 403, 'FORBIDDEN_ORIGIN'],
    ['null', 403, 'FORBIDDEN_ORIGIN'],
  ])('a request from a page of %s is answered with %d', async (origin, status, code) => {
    const { app } = await testApp();
    const headers = { host: 'localhost:4620', origin };
    const response = await app.inject({ url: '/api/workspace', headers });
    expect([response.statusCode, response.json().code ?? '']).toEqual([status, code]);
    expect(response.headers['access-control-allow-origin']).toBeUndefined();
  });

  test.each([['/'], ['/assets/a.js'], ['/api/nothing'], ['/%zz']])(
    'also for %s another name of this machine is refused',
    async (url) => {
      const { app } = await testApp({}, page());
      const response = await app.inject({ url, headers: { host: 'example.org' } });
      expect(response.statusCode).toBe(url === '/%zz' ? 400 : 403);
    },
  );
});

describe('what every answer says', () => {
  test.each([
    ['the page', '/', OK],
    ['a part of the page', '/assets/a-1234.js', OK],
    ['an answer', '/api/workspace', OK],
    ['a refusal', '/api/takes/none', 404],
    ['an unknown address', '/nothing', 404],
    ['an address that is not well formed', '/%zz', 400],
  ])('%s carries the policy', async (_claim, url, status) => {
    const { app } = await testApp({}, page());
    const { statusCode, headers } = await app.inject(url);
    expect(statusCode).toBe(status);
    const policy = String(headers['content-security-policy']).split('; ');
    expect(policy).toContain("default-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy.join()).not.toMatch(/unsafe-eval|script-src|\*|http:/);
    expect(headers).toMatchObject({
      'x-content-type-options': 'nosniff',
      'referrer-policy': 'no-referrer',
      'cross-origin-resource-policy': 'same-origin',
      'cross-origin-opener-policy': 'same-origin',
      'cross-origin-embedder-policy': 'require-corp',
    });
  });
});

describe('the page', () => {
  test('it is asked for anew each time, its parts only once', async () => {
    const { app } = await testApp({}, page());
    const [index, part] = [await app.inject('/'), await app.inject('/assets/a-1234.js')];
    expect(index.body).toBe('<!doctype html>');
    expect(index.headers['cache-control']).toBe('no-cache');
    expect(part.headers['cache-control']).toContain('immutable');
    expect((await app.inject('/?take=a#x')).body).toBe('<!doctype html>');
  });

  test.each([
    ['/../secret.txt'],
    ['/..%2fsecret.txt'],
    ['/assets/..%2f..%2fsecret.txt'],
    ['/.hidden'],
    ['/assets'],
  ])('%s leads nowhere', async (url) => {
    const { app } = await testApp({}, page());
    const response = await app.inject(url);
    expect(response.statusCode).toBeGreaterThanOrEqual(400);
    expect(response.statusCode).toBeLessThan(500);
    expect(response.body).not.toContain('secret');
    expect(response.json()).toMatchObject({ code: expect.any(String), message: expect.any(String) });
  });
});

/** A built page as small as can be, with something beside it that nobody may get. */
function page(): string {
  const folder = temporaryFolder();
  const root = join(folder, 'web');
  mkdirSync(join(root, 'assets'), { recursive: true });
  writeFileSync(join(root, 'index.html'), '<!doctype html>');
  writeFileSync(join(root, 'assets', 'a-1234.js'), 'export {};');
  writeFileSync(join(root, '.hidden'), 'secret');
  writeFileSync(join(folder, 'secret.txt'), 'secret');
  return root;
}
