import { spawnSync } from 'node:child_process';
import { existsSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { lockWorkspace } from '../../server/store/lock.ts';
import { temporaryFolder } from './temporaryFolder.ts';

describe('lockWorkspace', () => {
  test('whoever comes second is refused until the first lets go', () => {
    const folder = temporaryFolder();
    const unlock = lockWorkspace(folder);
    expect(() => lockWorkspace(folder)).toThrow(`process ${process.pid}`);
    expect(() => lockWorkspace(folder)).toThrow('--workspace');
    unlock();
    lockWorkspace(folder)();
    expect(existsSync(join(folder, 'server.lock'))).toBe(false);
  });

  test.each([
    ['of a process that is gone', JSON.stringify({ pid: gonePid(), started: null })],
    ['cut short by a crash', '{"pid":'],
    ['that names no process', '{}'],
  ])('a lock %s is no lock', (_claim, text) => {
    const folder = temporaryFolder();
    writeFileSync(join(folder, 'server.lock'), text);
    const unlock = lockWorkspace(folder);
    expect(() => lockWorkspace(folder)).toThrow(`process ${process.pid}`);
    unlock();
  });

  test.runIf(process.platform === 'linux')(
    'a process that got the number of a gone one does not hold its lock (where the system tells starts apart)',
    () => {
      const folder = temporaryFolder();
      writeFileSync(join(folder, 'server.lock'), JSON.stringify({ pid: process.ppid, started: '1' }));
      lockWorkspace(folder)();
    },
  );

  test('a lock that another took meanwhile is left alone', () => {
    const folder = temporaryFolder();
    const unlock = lockWorkspace(folder);
    writeFileSync(join(folder, 'server.lock'), '{"pid":1,"started":null}');
    unlock();
    expect(existsSync(join(folder, 'server.lock'))).toBe(true);
  });
});

/** A number that a process had a moment ago. */
function gonePid(): number {
  return spawnSync(process.execPath, ['-e', '']).pid;
}
