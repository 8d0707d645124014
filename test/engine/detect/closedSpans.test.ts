import { expect, test } from 'vitest';
import { closedSpans } from '../../../server/engine/detect/guard.ts';
import { fakeSignals } from '../fakeSignals.ts';

// one character a millisecond: '#' closed, '.' open; '|' a gap of half a second
test.each<[string, string, [number, number][]]>([
  ['nothing closed', '....', []],
  [
    'from the first closed sample to the first open one',
    '.##..#.',
    [
      [1, 3],
      [5, 6],
    ],
  ],
  ['to one step past the end', '..##', [[2, 4]]],
  [
    'none across a gap',
    '.##|##..#',
    [
      [1, 3],
      [502, 504],
      [506, 507],
    ],
  ],
  [
    'a segment of one sample',
    '#|.|#',
    [
      [0, 1],
      [1000, 1001],
    ],
  ],
])('%s: %s', (_name, trace, expected) => {
  let start = 0;
  const segments = trace.split('|').map((part) => {
    const segment = { start, end: start + part.length };
    start = segment.end;
    return segment;
  });
  const closed = Uint8Array.from(trace.replaceAll('|', ''), (c) => (c === '#' ? 1 : 0));
  const signals = fakeSignals({ swingSpeedDps: new Float64Array(closed.length) }, { segments });
  const spans = closedSpans(signals, closed).map(({ startUs, endUs }) => [startUs / 1000, endUs / 1000]);
  expect(spans).toEqual(expected);
});
