import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { lockWorkspace } from '../../server/store/lock.ts';
import { readLock } from '../../server/store/lockFile.ts';
import { soakNumber } from '../soak/soakNumber.ts';
import { raceForLock } from './lockRaces.ts';
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
    ['that is nothing', 'null'],
    ['of a group of processes', '{"pid":0,"started":null}'],
    ['of all processes', '{"pid":-1,"started":null}'],
    ['of a number that no process has', '{"pid":1e300,"started":null}'],
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

describe('a lock whose process is gone', () => {
  test('goes to exactly one of those that try for it in the same moment', {
    timeout: 600_000,
  }, async () => {
    const races = soakNumber('LOCK_RACES', 100);
    const { winners, odd } = await raceForLock(races, 4, temporaryFolder());
    expect([...winners]).toEqual([[1, races]]);
    expect(odd).toEqual([]);
  });

  test('and whose heir died before it had it all, is succeeded too, and nothing of either stays', () => {
    const folder = temporaryFolder();
    const path = join(folder, 'server.lock');
    writeFileSync(path, JSON.stringify({ pid: gonePid(), started: '1' }));
    const heir = `${path}.after-${readLock(path)!.fingerprint}`;
    writeFileSync(heir, JSON.stringify({ pid: gonePid(), started: '2' }));
    const unlock = lockWorkspace(folder);
    expect(readdirSync(folder)).toEqual(['server.lock']);
    expect(() => lockWorkspace(folder)).toThrow(`process ${process.pid}`);
    unlock();
  });

  test('is not taken while an heir of it lives', () => {
    const folder = temporaryFolder();
    const path = join(folder, 'server.lock');
    writeFileSync(path, JSON.stringify({ pid: gonePid(), started: '1' }));
    const heir = `${path}.after-${readLock(path)!.fingerprint}`;
    writeFileSync(heir, JSON.stringify({ pid: process.ppid, started: null }));
    expect(() => lockWorkspace(folder)).toThrow(`process ${process.ppid}`);
  });
});

test('a folder in the place of the lock is told of in a sentence and left alone', () => {
  const folder = temporaryFolder();
  mkdirSync(join(folder, 'server.lock'));
  expect(() => lockWorkspace(folder)).toThrow(/server\.lock is no file, .* Move it away .*--workspace\.$/);
  expect(existsSync(join(folder, 'server.lock'))).toBe(true);
});

/** A number that a process had a moment ago. */
function gonePid(): number {
  return spawnSync(process.execPath, ['-e', '']).pid;
}
