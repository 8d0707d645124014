import { chmodSync, mkdirSync, writeFileSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { findBrowser } from '../../scripts/findBrowser.mjs';
import { temporaryFolder } from '../store/temporaryFolder.ts';

describe.skipIf(process.platform === 'win32')('findBrowser', () => {
  test('Chromium comes before Chrome, wherever on the path they are', () => {
    const [first, second] = [temporaryFolder(), temporaryFolder()];
    const env = { PATH: `${first}${delimiter}${second}` };
    expect(findBrowser(env, 'linux')).toBeNull();
    const chrome = program(first, 'google-chrome');
    expect(findBrowser(env, 'linux')).toBe(chrome);
    const chromium = program(second, 'chromium');
    expect(findBrowser(env, 'linux')).toBe(chromium);
  });

  test('CHROME_PATH beats everything, also where it leads nowhere', () => {
    const folder = temporaryFolder();
    program(folder, 'chromium');
    const own = program(folder, 'my-browser');
    expect(findBrowser({ PATH: folder, CHROME_PATH: own }, 'linux')).toBe(own);
    expect(findBrowser({ PATH: folder, CHROME_PATH: join(folder, 'none') }, 'linux')).toBeNull();
  });

  test('what cannot be run is no browser', () => {
    const folder = temporaryFolder();
    chmodSync(program(folder, 'chromium'), 0o600);
    const isRoot = process.getuid?.() === 0;
    // Root may read anything, but runs nothing that nobody may run.
    expect(findBrowser({ PATH: folder }, 'linux'), `as root: ${isRoot}`).toBeNull();
  });

  test("on a Mac it is an application, the user's own too", () => {
    const home = temporaryFolder();
    const folder = join(home, 'Applications', 'Chromium.app', 'Contents', 'MacOS');
    mkdirSync(folder, { recursive: true });
    const path = program(folder, 'Chromium');
    expect(findBrowser({ HOME: home }, 'darwin')).toBe(path);
  });

  test('without a path there is none', () => {
    expect(findBrowser({}, 'linux')).toBeNull();
    expect(findBrowser({}, 'win32')).toBeNull();
  });
});

function program(folder: string, name: string): string {
  const path = join(folder, name);
  writeFileSync(path, '#!/bin/sh\n', { mode: 0o755 });
  return path;
}
