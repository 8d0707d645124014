import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { lookAt, readAudit } from '../../scripts/supply.mjs';

const read = (name: string) =>
  JSON.parse(readFileSync(fileURLToPath(new URL(`../../${name}`, import.meta.url)), 'utf8'));

test('every package is pinned, has a checksum and a licence that was looked at, and runs nothing as it is installed', () => {
  const { packages, faults } = lookAt(read('package.json'), read('package-lock.json'));
  expect(faults).toEqual([]);
  expect(packages.filter(({ isShipped }) => isShipped).map(({ name }) => name)).toContain('fastify');
  expect(readFileSync(fileURLToPath(new URL('../../.npmrc', import.meta.url)), 'utf8')).toContain(
    'ignore-scripts=true',
  );
});

test.each([
  ['a range', { dependencies: { a: '^1.2.3' } }, {}, 'a is not pinned: ^1.2.3'],
  ['an install script', {}, { integrity: 'x', license: 'MIT', hasInstallScript: true }, 'a runs a script'],
  ['no checksum', {}, { license: 'MIT' }, 'a has no checksum'],
  [
    'a registry’s address',
    {},
    { integrity: 'x', license: 'MIT', resolved: 'https://r' },
    'bound to one registry',
  ],
  [
    'another licence',
    {},
    { integrity: 'x', license: 'GPL-9' },
    'a has a licence that nobody has looked at: GPL-9',
  ],
])('%s is told of', (_claim, manifest, entry, says) => {
  const sound = { version: '1.2.3', integrity: 'x', license: 'MIT' };
  const isEmpty = Object.keys(entry).length === 0;
  const lock = { packages: { '': {}, 'node_modules/a': isEmpty ? sound : { version: '1.2.3', ...entry } } };
  expect(lookAt(manifest, lock).faults).toEqual([expect.stringContaining(says)]);
});

test('what the registry knows is told line by line; a registry that gives no audit says nothing', () => {
  const via = [{ title: 'reads too far', url: 'https://advisory/1' }, 'b'];
  const audit = { vulnerabilities: { a: { name: 'a', severity: 'high', via } } };
  expect(readAudit(JSON.stringify(audit))).toEqual(['a (high): reads too far, https://advisory/1']);
  for (const text of ['', '<html>', 'null', '{"message":"405"}']) expect(readAudit(text)).toBeNull();
});
