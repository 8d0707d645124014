import { join } from 'node:path';
import { expect, test } from 'vitest';
import { countTests } from '../../scripts/countTests.mjs';

const PROJECT = join('/', 'project');

test.each([
  ['nothing ran', [], [0, 0, 0, 0, 0]],
  [
    'each status in its place',
    [file('a', 'failed', 'passed', 'passed', 'failed', 'skipped')],
    [2, 1, 1, 0, 0],
  ],
  ['a test to be written counts as skipped', [file('a', 'passed', 'todo', 'pending')], [0, 0, 2, 0, 0]],
  ['a file that does not load counts as one failure', [file('a', 'failed')], [0, 1, 0, 0, 0]],
  [
    'only what is skipped in the browser folder counts there',
    [file('browser/a', 'failed', 'skipped', 'passed', 'failed'), file('browserLike/a', 'passed', 'skipped')],
    [1, 1, 2, 1, 2],
  ],
])('%s', (_claim, files, [passed, failed, skipped, skippedInBrowser, ranInBrowser]) => {
  expect(countTests(files, PROJECT)).toEqual({ passed, failed, skipped, skippedInBrowser, ranInBrowser });
});

function file(name: string, status: string, ...tests: string[]) {
  return {
    name: join(PROJECT, 'test', `${name}.test.ts`),
    status,
    assertionResults: tests.map((one) => ({ status: one })),
  };
}
