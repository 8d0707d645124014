import { describe, expect, test } from 'vitest';
import { RunningMedian } from '../../../server/engine/filter/runningMedian.ts';
import { slowMedian } from '../../reference/windowed.ts';
import { seededNormal, seededRandom } from '../../seeded.ts';
import { fc } from '../properties.ts';

function run(x: readonly number[], samples: number): number[] {
  const median = new RunningMedian(samples);
  median.prime(x[0]!);
  return x.map((value) => median.step(value));
}

describe.each([1, 2, 3, 4, 5, 8, 25, 64, 201])('%d samples', (samples) => {
  test('every window sorted, its middle taken, to the bit', () => {
    const normal = seededNormal(samples);
    const x = Array.from({ length: 1500 }, () => 300 * normal());
    expect(run(x, samples)).toEqual(slowMedian(x, samples));
  });

  test('the same where many values are equal, or rise and fall in long runs', () => {
    const random = seededRandom(samples);
    const ties = Array.from({ length: 1500 }, () => Math.floor(4 * random()) + 1);
    expect(run(ties, samples)).toEqual(slowMedian(ties, samples));
    const waves = ties.map((_, n) => Math.abs(((n * 7) % 400) - 200));
    expect(run(waves, samples)).toEqual(slowMedian(waves, samples));
  });

  test('a steady rise comes late by half of the window', () => {
    const y = run(
      Array.from({ length: 600 }, (_, n) => 2 * n),
      samples,
    );
    for (let n = samples; n < 600; ++n) expect(y[n]).toBe(2 * (n - (samples - 1) / 2));
  });
});

test('any trace, any length', () => {
  const traces = fc.array(fc.integer({ min: 1, max: 12 }), { minLength: 1, maxLength: 80 });
  fc.assert(
    fc.property(traces, fc.integer({ min: 1, max: 20 }), (x, samples) => {
      expect(run(x, samples)).toEqual(slowMedian(x, samples));
    }),
    { numRuns: 300 },
  );
});

test.each([3, 4, 9])('%d samples: one wrong sample on a steady value leaves nothing', (samples) => {
  const x = new Array(60).fill(7).with(30, 900);
  expect(run(x, samples)).toEqual(new Array(60).fill(7));
});

test('two samples: half of a wrong one is left, for the median is their mean', () => {
  expect(run([7, 7, 907, 7, 7], 2)).toEqual([7, 7, 457, 457, 7]);
});

test('a step stays a step: 9 samples hold it back by 4 and smear nothing', () => {
  const step = Array.from({ length: 40 }, (_, n) => (n < 20 ? 0 : 500));
  expect(run(step, 9)).toEqual(step.map((_, n) => (n < 24 ? 0 : 500)));
});

test('after a reset it is as new, whatever lay in it', () => {
  const normal = seededNormal(9);
  const median = new RunningMedian(6);
  for (let n = 0; n < 50; ++n) median.step(normal());
  median.reset();
  const x = Array.from({ length: 50 }, () => normal());
  const fresh = new RunningMedian(6);
  expect(x.map((value) => median.step(value))).toEqual(x.map((value) => fresh.step(value)));
});

test.each([0, -3, 2.5, Number.NaN])('%d samples are refused', (samples) => {
  expect(() => new RunningMedian(samples)).toThrow(RangeError);
});
