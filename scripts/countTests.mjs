import { join, relative, sep } from 'node:path';

/** What the test runner's JSON results (`testResults`) say, in numbers. */
export function countTests(files, project) {
  const counts = { passed: 0, failed: 0, skipped: 0, skippedInBrowser: 0, ranInBrowser: 0 };
  for (const { name, status: fileStatus, assertionResults } of files) {
    const isBrowser = relative(project, name).startsWith(join('test', 'browser') + sep);
    const failed = assertionResults.filter((test) => test.status === 'failed').length;
    const passed = assertionResults.filter((test) => test.status === 'passed').length;
    const skipped = assertionResults.length - failed - passed;
    counts.passed += passed;
    // A file that does not even load has no tests to fail.
    counts.failed += failed === 0 && fileStatus === 'failed' ? 1 : failed;
    counts.skipped += skipped;
    if (isBrowser) {
      counts.skippedInBrowser += skipped;
      counts.ranInBrowser += passed + failed;
    }
  }
  return counts;
}
