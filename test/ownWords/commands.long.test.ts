import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { closeSync, existsSync, openSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { bundleForNode } from '../store/bundle.ts';
import { makeFolder } from '../store/temporaryFolder.ts';

const { folder, remove } = makeFolder();
let script = '';
beforeAll(async () => {
  script = await bundleForNode(fileURLToPath(new URL('../../server/cli/main.ts', import.meta.url)), folder);
});
afterAll(remove);

test.runIf(existsSync('/dev/full'))(
  'a command whose standard output is full says so in a sentence, without a stack',
  async () => {
    const full = openSync('/dev/full', 'w');
    const child = spawn(process.execPath, [script, 'inspect', '--help'], { stdio: ['ignore', full, 'pipe'] });
    closeSync(full);
    let told = '';
    child.stderr!.on('data', (chunk) => {
      told += chunk;
    });
    const [code] = await once(child, 'close');
    expect(told).toBe('standard output cannot be written: the disk is full; make room\n');
    expect(code).toBe(2);
  },
);

test.each([
  [
    'a workspace that is a file',
    ['share', '--workspace', join(folder, 'bundle.mjs'), '--out', join(folder, 'x.zip')],
    1,
  ],
  ['a device as log', ['inspect', '/dev/null'], 2],
  ['a zip that is none', ['receive', join(folder, 'bundle.mjs'), '--workspace', join(folder, 'w')], 1],
  [
    'a name that is too long',
    ['export', '--as', 'text', '--name', 'a'.repeat(80), '--out', join(folder, 'x'.repeat(300))],
    2,
  ],
])('%s is told of without a stack', async (_claim, argv, code) => {
  const child = spawn(process.execPath, [script, ...argv], { stdio: ['ignore', 'ignore', 'pipe'] });
  let told = '';
  child.stderr!.on('data', (chunk) => {
    told += chunk;
  });
  expect((await once(child, 'close'))[0]).toBe(code);
  expect(told).toMatch(/^[^\n]+\n/);
  expect(told).not.toMatch(/\n\s+at /);
});
