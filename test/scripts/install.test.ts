import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { isInstalled } from '../../scripts/install.mjs';
import { temporaryFolder } from '../store/temporaryFolder.ts';

const A = { version: '1.2.3' };
const OTHER_SYSTEM = { version: '1.0.0', optional: true };

test.each([
  ['the packages are the ones asked for', { a: A }, { a: A }, true],
  ['one is missing', { a: A, b: A }, { a: A }, false],
  ['one is of another version', { a: A }, { a: { version: '1.2.4' } }, false],
  ['one more than asked for does no harm', { a: A }, { a: A, b: A }, true],
  ['one that only other systems need is not there', { a: A, b: OTHER_SYSTEM }, { a: A }, true],
  [
    'one that only some systems need is of another version',
    { b: OTHER_SYSTEM },
    { b: { version: '2.0.0' } },
    false,
  ],
  ['npm has noted nothing', { a: A }, null, false],
])('installed or not, where %s', (_claim, wanted, found, expected) => {
  const project = temporaryFolder();
  const packages = { '': { version: '0.1.0' }, ...prefixed(wanted) };
  writeFileSync(join(project, 'package-lock.json'), JSON.stringify({ packages }));
  mkdirSync(join(project, 'node_modules'));
  if (found) {
    const noted = JSON.stringify({ packages: prefixed(found) });
    writeFileSync(join(project, 'node_modules', '.package-lock.json'), noted);
  }
  expect(isInstalled(project)).toBe(expected);
});

test('an install that was cut short counts as none', () => {
  const project = temporaryFolder();
  writeFileSync(join(project, 'package-lock.json'), JSON.stringify({ packages: prefixed({ a: A }) }));
  mkdirSync(join(project, 'node_modules'));
  writeFileSync(join(project, 'node_modules', '.package-lock.json'), '{"packages":{');
  expect(isInstalled(project)).toBe(false);
});

function prefixed(packages: object): Record<string, unknown> {
  return Object.fromEntries(Object.entries(packages).map(([name, value]) => [`node_modules/${name}`, value]));
}
