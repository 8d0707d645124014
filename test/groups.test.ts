import { execFileSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const PROJECT = fileURLToPath(new URL('..', import.meta.url));
const SCRIPTS: Record<string, string> = JSON.parse(
  readFileSync(join(PROJECT, 'package.json'), 'utf8'),
).scripts;

/** `file group` for every test file that a script of package.json runs, as the test runner lists them. */
function listed(script: string): string[] {
  const args = ['list', '--config=test/vitest.config.ts', '--filesOnly', '--json', ...argumentsOf(script)];
  const text = execFileSync(process.execPath, ['node_modules/vitest/vitest.mjs', ...args], {
    cwd: PROJECT,
    encoding: 'utf8',
  });
  const files: { file: string; projectName: string }[] = JSON.parse(text);
  return files.map(({ file, projectName }) => `${file.slice(PROJECT.length)} ${projectName}`).sort();
}

/** What `scripts/test.mjs` hands on to the test runner. */
function argumentsOf(script: string): string[] {
  const [node, path, ...args] = SCRIPTS[script]!.split(' ');
  expect([node, path]).toEqual(['node', 'scripts/test.mjs']);
  return args;
}

function groupOf(path: string): string {
  if (path.startsWith('test/browser/')) return 'browser';
  if (path.endsWith('.long.test.ts')) return 'long';
  return path.startsWith('test/web/') ? 'page' : 'quick';
}

const ALL = readdirSync(join(PROJECT, 'test'), { recursive: true, encoding: 'utf8' })
  .filter((path) => path.endsWith('.test.ts'))
  .map((path) => `test/${path.replaceAll('\\', '/')}`)
  .map((path) => `${path} ${groupOf(path)}`)
  .sort();

test('every test file is in the one group that its name tells, npm test runs all, and test:fast quick and page', {
  timeout: 120_000,
}, () => {
  expect(listed('test')).toEqual(ALL);
  expect(listed('test:fast')).toEqual(ALL.filter((line) => / (quick|page)$/.test(line)));
});

test('where files share what they import, none replaces a module for good, or a global', () => {
  const shared = ALL.filter((line) => / (quick|long)$/.test(line)).map((line) => line.split(' ')[0]!);
  const replaces = (path: string) => /\bvi\.(mock|stub\w+)\(/.test(readFileSync(join(PROJECT, path), 'utf8'));
  expect(shared.filter(replaces)).toEqual([]);
});
