/** One thing that was tested: fine, or what failed, or why it could not be told. */
export interface TestCase {
  readonly name: string;
  readonly failure: string | null;
}

/**
 * Test results as the JUnit XML that continuous integration reads: `testsuites`, `testsuite`, `testcase`, `failure`.
 * Source of the form: common practice; nobody has published a standard of it.
 */
export function junitXml(suite: string, cases: readonly TestCase[]): string {
  const failures = cases.filter(({ failure }) => failure !== null).length;
  const counts = `tests="${cases.length}" failures="${failures}" errors="0" skipped="0"`;
  const name = escaped(suite);
  return [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<testsuites name="${name}" ${counts}>`,
    `  <testsuite name="${name}" ${counts}>`,
    ...cases.map((one) => testCase(name, one)),
    '  </testsuite>',
    '</testsuites>',
    '',
  ].join('\n');
}

function testCase(suite: string, { name, failure }: TestCase): string {
  const open = `    <testcase classname="${suite}" name="${escaped(name)}"`;
  return failure === null ? `${open}/>` : `${open}><failure message="${escaped(failure)}"/></testcase>`;
}

/** Characters that XML 1.0 does not allow at all are left out. */
function escaped(text: string): string {
  return text
    .replace(/[^\t\n\r\u0020-\uD7FF\uE000-\uFFFD\u{10000}-\u{10FFFF}]/gu, '')
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;')
    .replace(/\s+/g, ' ');
}
