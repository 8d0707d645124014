import { expect, test } from 'vitest';
import type { Press } from '../../../server/engine/base/log.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import { moveLabels } from '../../../server/engine/labels/labelsMoved.ts';

const by = 'person' as const;
const labels: Labels = {
  presses: [],
  spans: [{ startUs: 1000, endUs: 3000, kind: 'spinning', by }],
  swings: [],
  gestures: [],
};
const at = (fromUs: number[], toUs: number[], presses: Press[] = [], durationUs = 10_000, own = labels) =>
  moveLabels(own, { fromUs: Float64Array.from(fromUs), toUs: Float64Array.from(toUs) }, presses, durationUs);

test.each<[string, number[], number[], [number, number]]>([
  ['nothing moves', [0, 4000], [0, 4000], [1000, 3000]],
  ['all begins later', [0, 4000], [-500, 3500], [500, 2500]],
  ['time runs twice as fast', [0, 4000], [0, 2000], [500, 1500]],
  ['a gap opens between two rows', [0, 2000, 2001, 4000], [0, 2000, 5001, 7000], [1000, 6000]],
  [
    'beyond the first and the last row it goes on as the whole does',
    [1500, 2500],
    [3000, 5000],
    [2000, 6000],
  ],
  ['before the start there is nothing', [0, 4000], [-2000, 2000], [0, 1000]],
])('%s', (_claim, fromUs, toUs, [startUs, endUs]) => {
  const { labels: moved, leftOut } = at(fromUs, toUs);
  expect(moved.spans).toEqual([{ startUs, endUs, kind: 'spinning', by }]);
  expect(leftOut).toBeNull();
});

test('a stretch of which nothing is left, and one behind the end, are told of', () => {
  const cut = at([0, 4000], [-3500, 500]);
  expect(cut.labels.spans).toEqual([]);
  expect(cut.leftOut).toMatchObject({ emptied: 1, beyondEnd: 0 });
  const late = at([0, 4000], [20_000, 24_000]);
  expect(late.labels.spans).toEqual([]);
  expect(late.leftOut).toMatchObject({ emptied: 0, beyondEnd: 1 });
});

test('one pair of moments tells no way', () => {
  expect(() => at([0], [0])).toThrow(RangeError);
});
