/**
 * Runs the checks: types, style, tests. Arguments go to the test runner; with `--project=quick` nothing is built first.
 * Browser tests need an installed Chromium or Chrome, those of the exported C a C compiler; REQUIRE_BROWSER_TESTS=1
 * makes it a failure to skip one of either.
 */
import { readFileSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { countTests } from './countTests.mjs';
import { findBrowser } from './findBrowser.mjs';
import { findCompiler } from './findCompiler.mjs';
import { ensureInstalled } from './install.mjs';
import { prepare } from './prepare.mjs';
import { BUILD, checkNode, PROJECT, runNode } from './project.mjs';

const RESULTS = join(BUILD, 'test-results.json');
const mustBrowse = process.env.REQUIRE_BROWSER_TESTS === '1';
const isQuick = process.argv.includes('--project=quick');

if (isQuick) {
  checkNode();
  ensureInstalled();
} else prepare();
const failures = [
  check('types', ['node_modules/typescript/bin/tsc', '--noEmit']),
  check('style', ['node_modules/@biomejs/biome/bin/biome', 'ci', '--error-on-warnings', '.']),
].filter((failure) => failure !== null);

if (!isQuick && !findBrowser()) {
  console.log('No Chromium or Chrome was found (CHROME_PATH may name one): the browser tests are skipped.');
}
if (!findCompiler()) {
  console.log('No C compiler was found (CC may name one): the tests of the exported C are skipped.');
  if (mustBrowse) failures.push('the exported C, which no compiler could be found for');
}
rmSync(RESULTS, { force: true });
const status = runNode([
  'node_modules/vitest/vitest.mjs',
  'run',
  '--config=test/vitest.config.ts',
  '--reporter=default',
  '--reporter=json',
  `--outputFile.json=${RESULTS}`,
  ...process.argv.slice(2),
]);

const counts = countTests(readResults(), PROJECT);
if (mustBrowse && counts.skippedInBrowser > 0) {
  failures.push(`${counts.skippedInBrowser} browser tests were skipped, and none may be`);
} else if (mustBrowse && counts.ranInBrowser === 0) {
  failures.push('no test ran in a browser, and all must');
}
for (const failure of failures) console.log(`Failed: ${failure}.`);
console.log(`${counts.passed} passed, ${counts.failed + failures.length} failed, ${counts.skipped} skipped`);
process.exitCode = status !== 0 || failures.length > 0 ? 1 : 0;

function check(name, args) {
  console.log(`Checking ${name} ...`);
  return runNode(args) === 0 ? null : `the check of ${name}`;
}

function readResults() {
  try {
    return JSON.parse(readFileSync(RESULTS, 'utf8')).testResults;
  } catch {
    failures.push('the test runner, which left no results');
    return [];
  }
}
