import { describe, expect, test } from 'vitest';
import { matchWindows, WindowMatcher } from '../../../server/engine/score/match.ts';
import { referenceMatch } from '../../reference/match.ts';
import { fc } from '../properties.ts';
import { matchEvents } from './matchEvents.ts';

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
        const windows = ref.map((atUs) => ({ fromUs: atUs - toleranceUs, toUs: atUs + toleranceUs, atUs }));
        expect({ count: found.length, distanceUs }).toEqual(referenceMatch(windows, det));
        for (let i = 1; i < found.length; ++i) {
          expect(found[i]!.ref > found[i - 1]!.ref && found[i]!.det > found[i - 1]!.det).toBe(true);
        }
        for (const pair of found)
          expect(Math.abs(ref[pair.ref]! - det[pair.det]!)).toBeLessThanOrEqual(toleranceUs);
      }),
      { numRuns: 500 },
    );
  });

  test('a negative tolerance, detections out of order and what is no number are refused', () => {
    expect(() => matchEvents([0], [0], -1)).toThrow(RangeError);
    expect(() => matchEvents([0], [0], Number.NaN)).toThrow(RangeError);
    expect(() => matchEvents([0], [5, 4], 1)).toThrow(/time order/);
    expect(() => matchEvents([0, Number.NaN], [0], 1)).toThrow(/window 1 must be made of numbers/);
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

  test('a detection that only the outer of two windows holds is never given to the inner one', () => {
    const windows = [
      { fromUs: 0, toUs: 600, atUs: 500 },
      { fromUs: 100, toUs: 300, atUs: 250 },
    ];
    expect(matchWindows(windows, [50, 550])).toEqual([{ ref: 0, det: 1 }]);
    expect(matchWindows(windows, [200, 550])).toEqual([
      { ref: 0, det: 1 },
      { ref: 1, det: 0 },
    ]);
  });

  const window = fc
    .tuple(fc.nat(40), fc.nat(25), fc.integer({ min: -3, max: 28 }))
    .map(([fromUs, lengthUs, at]) => ({ fromUs, toUs: fromUs + lengthUs, atUs: fromUs + at }));
  const detections = fc.array(fc.nat(60), { maxLength: 6 }).map((values) => values.sort((a, b) => a - b));

  test('windows in any order and inside one another have as many pairs, at as little distance, as trying every way has', () => {
    const seen = { nested: 0, crossed: 0 };
    fc.assert(
      fc.property(fc.array(window, { maxLength: 6 }), detections, (windows, det) => {
        const found = matchWindows(windows, det);
        const distanceUs = found.reduce(
          (sum, pair) => sum + Math.abs(windows[pair.ref]!.atUs - det[pair.det]!),
          0,
        );
        expect({ count: found.length, distanceUs }).toEqual(referenceMatch(windows, det));
        expect(new Set(found.map((pair) => pair.det)).size).toBe(found.length);
        for (const pair of found) {
          const { fromUs, toUs } = windows[pair.ref]!;
          expect(det[pair.det]).toBeGreaterThanOrEqual(fromUs);
          expect(det[pair.det]).toBeLessThanOrEqual(toUs);
        }
        if (windows.some((one, i) => i > 0 && one.toUs < windows[i - 1]!.toUs)) ++seen.nested;
        if (found.some((pair, i) => i > 0 && pair.det < found[i - 1]!.det)) ++seen.crossed;
      }),
      { numRuns: 1000 },
    );
    expect(seen.nested).toBeGreaterThan(100);
    expect(seen.crossed).toBeGreaterThan(100);
  });

  test('one matcher of nested windows used again forgets what it matched before', () => {
    fc.assert(
      fc.property(fc.array(window, { maxLength: 6 }), detections, detections, (windows, one, other) => {
        const matcher = new WindowMatcher(windows);
        matcher.match(Float64Array.from(one));
        expect([...matcher.match(Float64Array.from(other))]).toEqual([
          ...new WindowMatcher(windows).match(Float64Array.from(other)),
        ]);
      }),
    );
  });
});
