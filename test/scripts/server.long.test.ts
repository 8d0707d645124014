import { once } from 'node:events';
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import { join } from 'node:path';
import { beforeAll, describe, expect, onTestFinished, test } from 'vitest';
import { smallLog } from '../store/smallLog.ts';
import { temporaryFolder } from '../store/temporaryFolder.ts';
import {
  type BuiltServer,
  ensureBuilt,
  launchServer,
  makeEmptyWorkspace,
  startServer,
  workspaceWithDemo,
} from './builtServer.ts';

beforeAll(ensureBuilt, 180_000);

describe('the built server', () => {
  test('it says where it is, serves the page there and nothing elsewhere, and stops in good order', async () => {
    const path = emptyWorkspace();
    const server = await launched(path);
    expect(server.output()).toContain(path);
    expect(new URL(server.address).hostname).toBe('127.0.0.1');
    const page = await fetch(server.address);
    expect(await page.text()).toContain('<!doctype html>');
    expect(page.headers.get('content-security-policy')).toContain("default-src 'self'");
    expect((await fetch(`${server.address}/../../package.json`)).status).toBe(404);
    expect(existsSync(join(path, 'server.lock'))).toBe(true);
    expect(await server.stop()).toBe(0);
    expect(existsSync(join(path, 'server.lock'))).toBe(false);
  });

  test.each([['SIGINT'], ['SIGTERM'], ['SIGHUP']] as const)(
    '%s stops it although a page keeps a connection open',
    async (signal) => {
      const server = await launched(emptyWorkspace());
      await fetch(`${server.address}/api/workspace`);
      expect(await server.stop(signal)).toBe(0);
    },
  );

  test('a change that was answered is there after the process was killed', async () => {
    const path = emptyWorkspace();
    const first = await launched(path);
    const takeId = await addTake(first.address);
    const changed = await fetch(`${first.address}/api/takes/${takeId}`, {
      method: 'PATCH',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ revision: 0, notes: 'kept' }),
    });
    expect(changed.status).toBe(200);
    expect(await first.stop('SIGKILL')).toBeNull();
    const second = await launched(path);
    const take = await (await fetch(`${second.address}/api/takes/${takeId}`)).json();
    expect(take).toEqual(await changed.json());
    expect(await fetch(`${second.address}/api/takes/${takeId}/source/0`).then((r) => r.text())).toBe(
      smallLog(),
    );
  });

  test('two servers do not write one workspace', async () => {
    const path = emptyWorkspace();
    const first = await launched(path);
    const second = await failed(['--port', '0', '--workspace', path]);
    expect(second).toContain(`process ${first.child.pid}`);
    expect(second).toContain('--workspace');
    expect(second.trim().split('\n')).toHaveLength(1);
  });

  test('the lock of a killed server holds nobody up', async () => {
    const path = emptyWorkspace();
    await (await launched(path)).stop('SIGKILL');
    expect(existsSync(join(path, 'server.lock'))).toBe(true);
    expect((await launched(path)).address).toContain('http://127.0.0.1:');
  });

  test('a port in use is told in one sentence that says which option helps', async () => {
    const port = await occupiedPort();
    const path = emptyWorkspace();
    const output = await failed(['--port', String(port), '--workspace', path]);
    expect(output).toContain(`Port ${port} is in use`);
    expect(output).toContain('--port');
    expect(output.trim().split('\n')).toHaveLength(1);
    expect(existsSync(join(path, 'server.lock'))).toBe(false);
  });

  test.each([
    ['--port', 'http'],
    ['--port', '-1'],
    ['--port', '65536'],
    ['--port', '46.2'],
    ['--workspace', ''],
    ['--host', '0.0.0.0'],
    ['--prot', '1'],
    ['4620'],
  ])('%s %s is refused with the list of options', async (...args) => {
    expect(await failed(args)).toContain('Usage: npm start');
  });

  test('a folder with other things in it is no workspace', async () => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'holiday.jpg'), '');
    expect(await failed(['--port', '0', '--workspace', folder])).toContain('holiday.jpg');
    expect(readdirSync(folder)).toEqual(['holiday.jpg']);
  });
});

describe('the first start', () => {
  test('--no-demo leaves the workspace empty', async () => {
    const server = await launched(join(temporaryFolder(), 'workspace'), '--no-demo');
    const workspace = await (await fetch(`${server.address}/api/workspace`)).json();
    expect(workspace).toMatchObject({ demoJobId: null, takes: [] });
  });

  test('the page is there at once; every demonstration take comes in, with labels and a power button', async () => {
    const path = join(temporaryFolder(), 'workspace');
    const server = await launched(path);
    const early = await (await fetch(`${server.address}/api/workspace`)).json();
    expect(early.demoJobId).toMatch(/^[0-9a-f]+$/);
    const { takes, problems } = await workspaceWithDemo(server.address);
    const logs = readdirSync(new URL('../../fixtures', import.meta.url)).filter((name) =>
      name.endsWith('.csv'),
    );
    expect(takes).toHaveLength(logs.length);
    expect(problems).toEqual([]);
    for (const { id } of takes) {
      const take = JSON.parse(readFileSync(join(path, 'takes', id, 'take.json'), 'utf8'));
      expect(take.isDemo).toBe(true);
      expect(take.powerButton).toMatch(/power/);
      const guarded = take.presses.filter((press: { button: string }) => press.button === take.powerButton);
      expect(guarded.length).toBeGreaterThan(0);
      // Every press of the log is one that the simulation knows, and the other way round.
      expect(take.labels.presses).toHaveLength(take.presses.length);
    }
    expect(server.output()).not.toContain('Error');
    await server.stop();

    const again = await launched(path);
    expect((await workspaceWithDemo(again.address)).takes).toHaveLength(logs.length);
  }, 120_000);
});

function emptyWorkspace(): string {
  const path = join(temporaryFolder(), 'workspace');
  makeEmptyWorkspace(path);
  return path;
}

async function launched(path: string, ...more: string[]): Promise<BuiltServer> {
  mkdirSync(path, { recursive: true });
  const server = await launchServer(path, ...more);
  onTestFinished(async () => {
    await server.stop('SIGKILL');
  });
  return server;
}

/** What a start that is refused has to say. */
async function failed(args: readonly string[]): Promise<string> {
  const { child, output } = startServer(args);
  const [code] = await once(child, 'close');
  expect(code).toBe(1);
  return output();
}

async function occupiedPort(): Promise<number> {
  const other: Server = createServer().listen(0, '127.0.0.1');
  await once(other, 'listening');
  onTestFinished(() => void other.close());
  const address = other.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return address.port;
}

async function addTake(address: string): Promise<string> {
  const post = async (path: string, body: unknown): Promise<Record<string, unknown>> => {
    const headers = { 'content-type': 'application/json' };
    return (await fetch(`${address}${path}`, { method: 'POST', headers, body: JSON.stringify(body) })).json();
  };
  const result = async (jobId: unknown): Promise<Record<string, unknown>> => {
    for (;;) {
      const job = await (await fetch(`${address}/api/jobs/${jobId}`)).json();
      if (job.state === 'done') return job.result;
      expect(job.state).toBe('running');
    }
  };
  const upload = await fetch(`${address}/api/uploads?name=log.csv`, {
    method: 'POST',
    headers: { 'content-type': 'application/octet-stream' },
    body: smallLog(),
  });
  const uploadIds = [(await upload.json()).uploadId];
  const { mapping } = await result((await post('/api/previews', { uploadIds, overrides: {} })).jobId);
  const take = { uploadIds, mapping, title: 'a', performer: 'b', drill: 'c' };
  return String((await result((await post('/api/takes', take)).jobId)).takeId);
}
