import { describe, expect, test } from 'vitest';
import { longestSegment } from '../../../server/engine/base/timeBase.ts';
import { computeTrueSpeed } from '../../../server/engine/motion/trueSpeed.ts';
import { seededNormal } from '../../seeded.ts';

/** Rate of a minimum-jerk swing of D degrees in T seconds, at t: 30 D/T u² (1 - u)². Flash and Hogan 1985 (from memory). */
function minimumJerkDps(deg: number, durationS: number, tS: number): number {
  const u = tS / durationS;
  return u > 0 && u < 1 ? ((30 * deg) / durationS) * u * u * (1 - u) * (1 - u) : 0;
}

test('more segments than a call can have arguments are no trouble', () => {
  const segments = Array.from({ length: 600_000 }, (_, i) => ({ start: i, end: i + 1 }));
  expect(longestSegment(segments)).toBe(1);
});

/** Two passes of order 2 leave 1 / (1 + (√2 - 1) (f / 16 Hz)⁴). */
test.each([
  [16, Math.SQRT1_2],
  [8, 0.975],
  [32, 0.13],
])('of a tremble of %d Hz its amplitude times %d is left: 3 dB less at the cutoff of 16 Hz', (hz, gain) => {
  const rateHz = 1000;
  const length = 4 * rateHz;
  const rate = Float64Array.from({ length }, (_, i) => 100 * Math.sin((2 * Math.PI * hz * i) / rateHz));
  const speed = computeTrueSpeed(rate, new Float64Array(length), [{ start: 0, end: length }], rateHz);
  const most = Math.max(...speed.subarray(rateHz, 3 * rateHz));
  expect(most / 100).toBeCloseTo(gain, 2);
});

test('the generator peaks at 1.875 D/T: 120° in 0.25 s at 900 deg/s', () => {
  expect(minimumJerkDps(120, 0.25, 0.125)).toBeCloseTo(900, 9);
});

describe.each([100, 200, 400, 1000])('at %d Hz', (rateHz) => {
  /** Noise of a common gyroscope, 0.02 deg/s per root hertz. */
  function swing(durationS: number, seed: number) {
    const normal = seededNormal(seed);
    const sigma = 0.02 * Math.sqrt(rateHz);
    const length = Math.round(2 * rateHz);
    // out and straight back, off the grid by a part of a sample
    const startS = 0.7 + (seed % 10) / 10 / rateHz;
    const z = Float64Array.from({ length }, (_, n) => {
      const t = n / rateHz - startS;
      const swing = minimumJerkDps(120, durationS, t) - minimumJerkDps(120, durationS, t - durationS);
      return swing + sigma * normal();
    });
    const y = Float64Array.from({ length }, () => sigma * normal());
    return { speed: computeTrueSpeed(y, z, [{ start: 0, end: length }], rateHz), startS };
  }

  test.each([0.15, 0.2, 0.25, 0.4, 0.6])(
    'the peaks of swings of %d s are right within 2 % and a sample',
    (durationS) => {
      for (let seed = 1; seed <= 10; ++seed) {
        const { speed, startS } = swing(durationS, seed);
        for (const middleS of [startS + durationS / 2, startS + 1.5 * durationS]) {
          const half = Math.round((durationS / 2) * rateHz);
          const from = Math.round(middleS * rateHz) - half;
          const around = speed.subarray(from, from + 2 * half);
          const peak = around.reduce((best, v, n) => (v > around[best]! ? n : best), 0);
          const right = (1.875 * 120) / durationS;
          expect(Math.abs(around[peak]! / right - 1), `seed ${seed}`).toBeLessThan(0.02);
          // the top of a slow swing is flat: noise may move it by a twentieth of the swing
          expect(Math.abs((from + peak) / rateHz - middleS), `seed ${seed}`).toBeLessThan(
            1 / rateHz + durationS / 20,
          );
        }
      }
    },
  );

  test('at a reversal straight back it comes down to a twentieth of the peak', () => {
    const { speed, startS } = swing(0.25, 3);
    const turn = Math.round((startS + 0.25) * rateHz);
    const lowest = Math.min(
      ...speed.subarray(turn - Math.ceil(0.02 * rateHz), turn + Math.ceil(0.02 * rateHz)),
    );
    expect(lowest).toBeLessThan(900 / 20);
  });
});

test('a gap is an end: what lies behind it changes nothing before it', () => {
  const normal = seededNormal(5);
  const z = Float64Array.from({ length: 400 }, () => 100 * normal());
  const changed = Float64Array.from(z, (v, n) => (n < 250 ? v : 7 * v));
  const segments = [
    { start: 0, end: 250 },
    { start: 250, end: 400 },
  ];
  const y = new Float64Array(400);
  const [a, b] = [computeTrueSpeed(y, z, segments, 100), computeTrueSpeed(y, changed, segments, 100)];
  expect(b.subarray(0, 250)).toEqual(a.subarray(0, 250));
  expect(b.subarray(250)).not.toEqual(a.subarray(250));
  expect(a.subarray(250)).toEqual(
    computeTrueSpeed(y.subarray(250), z.subarray(250), [{ start: 0, end: 150 }], 100),
  );
});

test('where the rate is too low for the cutoff, it takes what there is', () => {
  const steady = computeTrueSpeed(
    new Float64Array(40).fill(3),
    new Float64Array(40).fill(4),
    [{ start: 0, end: 40 }],
    12,
  );
  for (const speed of steady) expect(speed).toBeCloseTo(5, 9);
});

test('no sample, no speed; one sample, its own', () => {
  expect(computeTrueSpeed(new Float64Array(0), new Float64Array(0), [], 100).length).toBe(0);
  expect(
    computeTrueSpeed(Float64Array.of(3), Float64Array.of(-4), [{ start: 0, end: 1 }], 100)[0],
  ).toBeCloseTo(5, 12);
});
