import { describe, expect, test } from 'vitest';
import type { MotionLog } from '../../../server/engine/base/log.ts';
import { Scratch } from '../../../server/engine/base/scratch.ts';
import { buildTimeBase, indexAtOrBefore, segmentAt } from '../../../server/engine/base/timeBase.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';

const COLUMNS = ['gyroXDps', 'gyroYDps', 'gyroZDps', 'accelXG', 'accelYG', 'accelZG'] as const;

/** A log at the times given, each column its own straight line or curve of time. */
function logAt(
  timeUs: readonly number[],
  value: (tS: number, column: number) => number = (t, k) => (k + 1) * t,
): MotionLog {
  const columns = COLUMNS.map((name, k) => [name, Float64Array.from(timeUs, (t) => value(t / 1e6, k))]);
  return { ...Object.fromEntries(columns), timeUs: Float64Array.from(timeUs) } as MotionLog;
}

function grid(length: number, stepUs: number, fromUs = 0): number[] {
  return Array.from({ length }, (_, n) => fromUs + Math.round(n * stepUs));
}

describe('a uniform log', () => {
  test.each([1000, 5000, 9615.384615, 3500])('of %d us passes through with its own arrays', (stepUs) => {
    const log = logAt(grid(300, stepUs));
    const { uniform, gaps, resampled } = buildTimeBase(log);
    expect(resampled).toBe(false);
    expect(gaps).toEqual([]);
    for (const name of [...COLUMNS, 'timeUs'] as const) expect(uniform[name]).toBe(log[name]);
    expect(uniform.segments).toEqual([{ start: 0, end: 300 }]);
    expect(uniform.rateHz).toBeCloseTo(1e6 / stepUs, 3);
    expect(uniform.stepUs).toBeCloseTo(1e6 / uniform.rateHz, 9);
  });

  test('in whole milliseconds at 500 Hz reads as 500 Hz, though its steps are 1, 2 and 3 ms', () => {
    const timeUs = grid(1000, 2000).map((t, n) => t + [0, 0, 1000, 0, 1000, 0, 0, 0][n % 8]!);
    expect(buildTimeBase(logAt(timeUs)).uniform.rateHz).toBeCloseTo(500, 0);
  });

  test('passes through too where its steps differ by up to 1 %, and its rate is that of the mean step', () => {
    const random = seededRandom(1);
    const timeUs = [0];
    while (timeUs.length < 500) timeUs.push(timeUs.at(-1)! + Math.round(10_000 * (0.992 + 0.016 * random())));
    const { uniform, resampled } = buildTimeBase(logAt(timeUs));
    expect(resampled).toBe(false);
    expect(uniform.stepUs).toBeCloseTo(timeUs.at(-1)! / 499, 6);
  });

  test('brings nothing along but the columns', () => {
    const log = { ...logAt(grid(10, 1000)), secret: 1 };
    expect(Object.keys(buildTimeBase(log).uniform)).not.toContain('secret');
  });
});

describe('gaps', () => {
  test('a step of three nominal ones, a little late, is none; one that is nearer to four is', () => {
    const first = grid(50, 1000);
    const near = [...first, ...grid(50, 1000, 49_000 + 3500)];
    const far = [...first, ...grid(50, 1000, 49_000 + 3501)];
    expect(buildTimeBase(logAt(near)).gaps).toEqual([]);
    const { uniform, gaps, resampled } = buildTimeBase(logAt(far));
    expect(gaps).toEqual([{ startUs: 49_000, endUs: 52_501 }]);
    expect(uniform.segments).toEqual([
      { start: 0, end: 50 },
      { start: 50, end: 100 },
    ]);
    expect(resampled).toBe(false);
  });

  test('the gap itself does not count for the rate', () => {
    const timeUs = [...grid(30, 10_000), ...grid(30, 10_000, 5_000_000)];
    expect(buildTimeBase(logAt(timeUs)).uniform.rateHz).toBe(100);
  });

  test('segments lie side by side and cover every sample, also where each is resampled', () => {
    const normal = seededNormal(2);
    const timeUs: number[] = [];
    for (const fromUs of [0, 900_000, 4_000_000])
      for (const t of grid(60, 10_000, fromUs)) timeUs.push(t + Math.round(600 * normal()) + 3000);
    const { uniform, gaps, resampled } = buildTimeBase(logAt(timeUs));
    expect(resampled).toBe(true);
    expect(gaps.length).toBe(2);
    expect(uniform.segments.length).toBe(3);
    let end = 0;
    for (const segment of uniform.segments) {
      expect(segment.start).toBe(end);
      expect(segment.end).toBeGreaterThan(segment.start);
      end = segment.end;
    }
    expect(end).toBe(uniform.timeUs.length);
  });
});

describe('an uneven log', () => {
  const normal = seededNormal(3);
  const jittered = grid(400, 5000).map((t, n) =>
    n === 0 ? 0 : t + Math.round(Math.max(-2000, Math.min(2000, 700 * normal()))),
  );

  test('lands on whole microseconds of the nominal grid, from its first sample on', () => {
    const { uniform, resampled } = buildTimeBase(logAt(jittered));
    expect(resampled).toBe(true);
    // half the range of the jitter, spread over 399 steps: a grid that is this much finer or coarser is as good
    expect(Math.abs(uniform.rateHz / 200 - 1)).toBeLessThan(0.003);
    uniform.timeUs.forEach((t, n) => {
      expect(t).toBe(Math.min(jittered.at(-1)!, Math.round(n * uniform.stepUs)));
    });
  });

  test('a straight line stays the same straight line', () => {
    const { uniform } = buildTimeBase(logAt(jittered));
    COLUMNS.forEach((name, k) => {
      uniform[name].forEach((value, n) => {
        expect(value).toBeCloseTo(((k + 1) * uniform.timeUs[n]!) / 1e6, 9);
      });
    });
  });

  test('a sine of 5 Hz loses no more than its bend between samples: 0.4 %', () => {
    const sine = (tS: number) => Math.sin(2 * Math.PI * 5 * tS);
    const { uniform } = buildTimeBase(logAt(jittered, sine));
    uniform.accelZG.forEach((value, n) => {
      // the middle of a chord over h = 7.5 ms at most lies (ω h)² / 8 below the arc
      expect(Math.abs(value - sine(uniform.timeUs[n]! / 1e6))).toBeLessThan(
        (2 * Math.PI * 5 * 0.0075) ** 2 / 8,
      );
    });
  });

  test('rows that were dropped one or two at a time are filled in', () => {
    const timeUs = grid(200, 10_000).filter((_, n) => n !== 50 && n !== 51 && n !== 120);
    const { uniform, gaps, resampled } = buildTimeBase(logAt(timeUs));
    expect(resampled).toBe(true);
    expect(gaps).toEqual([]);
    expect(uniform.timeUs.length).toBe(200);
    expect(uniform.rateHz).toBe(100);
    expect(uniform.gyroXDps[51]!).toBeCloseTo(0.51, 12);
    expect(uniform.gyroXDps[120]!).toBeCloseTo(1.2, 12);
  });

  test.each([
    [90_000, [9, 10]],
    [110_000, [10, 11]],
  ])('what lies between a sample saturated at %d µs and a sound one is saturated', (us, marked) => {
    const timeUs = grid(20, 10_000).filter((_, n) => n !== 10);
    const saturated = Uint8Array.from(timeUs, (t) => (t === us ? 1 : 0));
    const { uniform } = buildTimeBase(logAt(timeUs), saturated);
    expect([...uniform.saturated].flatMap((mark, n) => (mark ? [n] : []))).toEqual(marked);
  });
});

test('in reused columns a shorter log after a longer one has the grid that fresh ones give', () => {
  const scratch = new Scratch();
  const random = seededRandom(8);
  const jittered = (length: number): MotionLog =>
    logAt(grid(length, 2000).map((t) => t + Math.round(600 * random())));
  for (const log of [jittered(500), jittered(200), logAt(grid(300, 2000)), jittered(400)]) {
    const marks = new Uint8Array(log.timeUs.length);
    expect(buildTimeBase(log, marks, scratch)).toEqual(buildTimeBase(log, marks));
  }
});

test('a value of its own is no longer overwritten', () => {
  const scratch = new Scratch();
  const before = scratch.column('x', 4).fill(1);
  const own = scratch.own(before.subarray(0, 2));
  scratch.column('x', 4).fill(2);
  expect([...own, ...before]).toEqual([1, 1, 2, 2, 2, 2]);
  const other = new Float64Array(3);
  expect(scratch.own(other)).toBe(other);
});

test('saturation passes through with a uniform log', () => {
  const saturated = Uint8Array.of(0, 1, 0);
  expect(buildTimeBase(logAt([0, 1000, 2000]), saturated).uniform.saturated).toBe(saturated);
});

describe('hardly a log', () => {
  test('nothing: no segment', () => {
    const { uniform, gaps, resampled } = buildTimeBase(logAt([]));
    expect([uniform.segments, gaps, resampled]).toEqual([[], [], false]);
  });
  test('one sample: one segment, and a rate that is a number', () => {
    const { uniform } = buildTimeBase(logAt([0]));
    expect(uniform.segments).toEqual([{ start: 0, end: 1 }]);
    expect(uniform.rateHz).toBe(1);
  });
  test('two samples: their step is the rate', () => {
    expect(buildTimeBase(logAt([0, 4000])).uniform.rateHz).toBe(250);
  });
});

describe('a log that cannot be', () => {
  const good = logAt([0, 1000, 2000]);
  test.each([
    [
      'times that stand still',
      { ...good, timeUs: Float64Array.of(0, 1000, 1000) },
      'timeUs does not increase at sample 2',
    ],
    [
      'times that go back',
      { ...good, timeUs: Float64Array.of(0, -5, 10) },
      'timeUs does not increase at sample 1',
    ],
    [
      'a time that is none',
      { ...good, timeUs: Float64Array.of(0, Number.NaN, 10) },
      'timeUs is NaN at sample 1',
    ],
    ['a short column', { ...good, accelYG: new Float64Array(2) }, 'accelYG has 2 samples, timeUs 3'],
    [
      'a value that is none',
      { ...good, gyroZDps: Float64Array.of(1, 2, Number.NaN) },
      'gyroZDps is NaN at sample 2',
    ],
    [
      'a value without end',
      { ...good, accelXG: Float64Array.of(1, Number.POSITIVE_INFINITY, 2) },
      'accelXG is Infinity at sample 1',
    ],
  ])('%s is refused by name', (_, log, message) => {
    expect(() => buildTimeBase(log)).toThrow(new RangeError(message));
  });

  test('marks of another length are refused', () => {
    expect(() => buildTimeBase(good, new Uint8Array(4))).toThrow('saturated has 4 samples, timeUs 3');
  });
});

test.each([
  [-1, -1],
  [0, 0],
  [9, 0],
  [10, 1],
  [29, 2],
  [30, 3],
  [1e9, 3],
])('the last time at or before %d us has index %d', (tUs, index) => {
  expect(indexAtOrBefore(Float64Array.of(0, 10, 20, 30), tUs)).toBe(index);
});

test('before nothing there is nothing', () => {
  expect(indexAtOrBefore(new Float64Array(0), 5)).toBe(-1);
});

test('a sample’s segment is found, or its absence told', () => {
  const segments = [
    { start: 0, end: 3 },
    { start: 3, end: 5 },
  ];
  expect(segmentAt(segments, 2)).toBe(segments[0]);
  expect(segmentAt(segments, 3)).toBe(segments[1]);
  expect(() => segmentAt(segments, 5)).toThrow('no segment holds sample 5');
});

test('the step is that of the median one whichever step comes first', () => {
  const random = seededRandom(7);
  for (let round = 0; round < 300; ++round) {
    const steps = Array.from(
      { length: 1 + Math.floor(20 * random()) },
      () => 900 + 50 * Math.floor(5 * random()),
    );
    const timeUs = [0];
    for (const step of steps) timeUs.push(timeUs.at(-1)! + step);
    const median = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
    const regular = steps.filter((step) => Math.abs(step - median) <= 0.5 * median);
    const meanUs = regular.reduce((sum, step) => sum + step, 0) / regular.length;
    expect(buildTimeBase(logAt(timeUs)).uniform.stepUs).toBe(meanUs);
  }
});
