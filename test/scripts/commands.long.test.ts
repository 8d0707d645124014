import { type SpawnSyncReturns, spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from 'vitest';
import { smallLog } from '../store/smallLog.ts';
import { temporaryFolder } from '../store/temporaryFolder.ts';
import { ensureBuilt } from './builtServer.ts';

const PROJECT = fileURLToPath(new URL('../..', import.meta.url));

describe('an old Node', () => {
  test.each([
    ['18.20.0', false],
    ['20.18.3', false],
    ['20.19.0', true],
    ['22.1.0', true],
    ['100.0.0', true],
  ])('%s is new enough: %s', (version, isEnough) => {
    const pretend = `Object.defineProperty(process, 'versions', { value: { node: '${version}' } })`;
    const check = "(await import('./scripts/project.mjs')).checkNode()";
    const { status, stderr } = run(['--input-type=module', '-e', `${pretend}; ${check}`]);
    expect(status).toBe(isEnough ? 0 : 1);
    expect(stderr.includes('Moulinet needs Node 20.19 or newer')).toBe(!isEnough);
  });
});

describe('npm run inspect and the like', () => {
  beforeAll(ensureBuilt, 180_000);

  test('an unknown program is misuse, and the known ones are named', () => {
    const { status, stderr, stdout } = run(['scripts/cli.mjs', 'tune']);
    expect([status, stdout]).toEqual([2, '']);
    expect(stderr).toContain('inspect, evaluate, export, gate, data, share, receive, record, demo, bench');
  });

  test('a name that every object has is no program', () => {
    expect(run(['scripts/cli.mjs', 'constructor']).status).toBe(2);
  });

  test('a program gets its arguments, and stdout holds its answer alone', () => {
    const log = join(temporaryFolder(), 'log.csv');
    writeFileSync(log, smallLog());
    const { status, stdout } = run(['scripts/cli.mjs', 'inspect', log, '--json']);
    expect(status).toBe(0);
    expect(() => JSON.parse(stdout)).not.toThrow();
  });
});

function run(args: readonly string[]): SpawnSyncReturns<string> {
  return spawnSync(process.execPath, args, { cwd: PROJECT, encoding: 'utf8' });
}
