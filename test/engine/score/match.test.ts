import { describe, expect, test } from 'vitest';
import { matchEvents, matchWindows } from '../../../server/engine/score/match.ts';
import { referenceMatch } from '../../reference/match.ts';
import { fc } from '../properties.ts';

const pairs = (ref: number[], det: number[], toleranceUs: number) =>
  matchEvents(ref, det, toleranceUs).map((pair) => [pair.ref, pair.det]);

describe('matchEvents', () => {
  // Own counter-examples, worked out by hand, in microseconds.
  test('takes two pairs where "closest pair first" would take one', () => {
    expect(pairs([0, 100_000], [60_000, 200_000], 100_000)).toEqual([
      [0, 0],
      [1, 1],
    ]);
  });

  test.each<[string, number, number[][]]>([
    [
      'as far apart as the tolerance is a pair',
      100_000,
      [
        [0, 0],
        [1, 1],
      ],
    ],
    ['farther apart is none', 50_000, []],
    ['one microsecond short of the distance is none', 99_999, [[1, 1]]],
  ])('%s', (_name, toleranceUs, expected) => {
    expect(pairs([1_000_000, 1_200_000, 2_000_000], [1_100_000, 1_280_000], toleranceUs)).toEqual(expected);
  });

  test('two detections by one event: one pair, the nearer one', () => {
    expect(pairs([1000], [980, 1010], 100)).toEqual([[0, 1]]);
  });

  test('nothing on either side gives no pair', () => {
    expect(pairs([], [1, 2], 10)).toEqual([]);
    expect(pairs([1, 2], [], 10)).toEqual([]);
  });

  test('it has as many pairs, at as little distance, as trying every way has', () => {
    const times = fc.array(fc.nat(60), { maxLength: 6 }).map((values) => values.sort((a, b) => a - b));
    fc.assert(
      fc.property(times, times, fc.nat(20), (ref, det, toleranceUs) => {
        const found = matchEvents(ref, det, toleranceUs);
        const distanceUs = found.reduce((sum, pair) => sum + Math.abs(ref[pair.ref]! - det[pair.det]!), 0);
        expect({ count: found.length, distanceUs }).toEqual(referenceMatch(ref, det, toleranceUs));
        for (let i = 1; i < found.length; ++i) {
          expect(found[i]!.ref > found[i - 1]!.ref && found[i]!.det > found[i - 1]!.det).toBe(true);
        }
        for (const pair of found)
          expect(Math.abs(ref[pair.ref]! - det[pair.det]!)).toBeLessThanOrEqual(toleranceUs);
      }),
      { numRuns: 500 },
    );
  });

  test('a negative tolerance, and times out of order, are refused', () => {
    expect(() => matchEvents([0], [0], -1)).toThrow(RangeError);
    expect(() => matchEvents([0], [0], Number.NaN)).toThrow(RangeError);
    expect(() => matchEvents([0], [5, 4], 1)).toThrow(/time order/);
    expect(() => matchEvents([5, 4], [0], 1)).toThrow(/time order/);
  });
});

describe('matchWindows', () => {
  test('windows of their own width each: a late detection goes to the earlier event where both hold it', () => {
    const windows = [
      { fromUs: 0, toUs: 110, atUs: 50 },
      { fromUs: 100, toUs: 210, atUs: 150 },
    ];
    expect(matchWindows(windows, [105, 120])).toEqual([
      { ref: 0, det: 0 },
      { ref: 1, det: 1 },
    ]);
  });

  test('a window inside another is refused', () => {
    const windows = [
      { fromUs: 0, toUs: 100, atUs: 50 },
      { fromUs: 10, toUs: 90, atUs: 60 },
    ];
    expect(() => matchWindows(windows, [])).toThrow(/time order/);
  });
});
