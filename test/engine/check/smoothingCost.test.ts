import { describe, expect, test } from 'vitest';
import { Choreography } from '../../../scripts/simulate/choreography.ts';
import { onStand, swing } from '../../../scripts/simulate/moves.ts';
import { idealSensor } from '../../../scripts/simulate/sensor.ts';
import { simulateTake } from '../../../scripts/simulate/take.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { smoothingCost } from '../../../server/engine/check/smoothingCost.ts';
import { smoothingGainDb } from '../../../server/engine/check/smoothingResponse.ts';
import { magnitudeAt } from '../../../server/engine/filter/biquad.ts';
import { designLowPass } from '../../../server/engine/filter/butterworth.ts';
import {
  makeSmoother,
  rampDelayMs,
  type SmoothingSettings,
  smoothingDelayMs,
} from '../../../server/engine/filter/smoothing.ts';
import { computeMotion } from '../../../server/engine/motion/motion.ts';
import { proposeSwings } from '../../../server/engine/truth/swings.ts';

const SPIKE_DPS = 500;

const RATE_HZ = 500;
const ORDER_2: SmoothingSettings = { kind: 'butterworth', order: 2, cutoffHz: 25, lengthMs: 25 };

/** Swings of 0.3 s from rest to rest, by the path of least jerk. */
function motionOf(swings: number) {
  const c = new Choreography(1, { tremorDps: 0, tremorMps2: 0, swayDeg: 0, spread: 0 });
  onStand(c, 1);
  for (let k = 0; k < swings; ++k) {
    swing(c, k % 2 === 0 ? 120 : -120, 0.3, 0);
    c.wait(0.5);
  }
  const plan = { rateHz: RATE_HZ, sensor: idealSensor([0.3, 0, 0]), choreography: c.finish(), seed: 1 };
  return computeMotion(buildTimeBase(simulateTake(plan).log).uniform, DEFAULT_CALIBRATION);
}

const motion = motionOf(6);
const swings = proposeSwings(motion);

test('no smoothing costs nothing', () => {
  const cost = smoothingCost(motion, { kind: 'none', order: 2, cutoffHz: 25, lengthMs: 25 }, swings);
  expect(cost.swings).toBe(6);
  expect(cost.peakLoss).toEqual({ median: 0, worst: 0, n: 6 });
  expect(cost.latencyMs).toEqual({ median: 0, worst: 0, n: 6 });
  expect(cost.spectrum!.after).toEqual(cost.spectrum!.before);
});

test('the latency is the group delay at low frequencies, for a swing that holds little else', () => {
  const { latencyMs } = smoothingCost(motion, ORDER_2, swings);
  // A swing of 0.3 s has nearly all its power below 6 Hz, where this delay is 9.0 to 9.3 ms.
  expect(Math.abs(latencyMs!.median - smoothingDelayMs(ORDER_2, RATE_HZ, 2)!)).toBeLessThan(0.5);
  expect(latencyMs!.n).toBe(6);
});

/** The path of least jerk: its rate is 16 u² (1 - u)² of its peak. */
function smoothedPeakByHand(cutoffHz: number): number {
  // A second, slow way: the analogue filter y'' + √2 w y' + w² y = w² x, by small Euler steps.
  const w = 2 * Math.PI * cutoffHz;
  const step = 1e-6;
  let [y, v, top] = [0, 0, 0];
  for (let t = 0; t < 0.4; t += step) {
    const u = t / 0.3;
    const x = u < 1 ? 16 * u * u * (1 - u) * (1 - u) : 0;
    v += step * w * (w * (x - y) - Math.SQRT2 * v);
    y += step * v;
    top = Math.max(top, y);
  }
  return top;
}

test.each([8, 25])('the peak that is lost at %d Hz is what a filter stepped by hand loses', (cutoffHz) => {
  const { peakLoss } = smoothingCost(motion, { ...ORDER_2, cutoffHz }, swings);
  // the bilinear transform and the grid of 2 ms leave a thousandth
  expect(Math.abs(1 - peakLoss!.median - smoothedPeakByHand(cutoffHz))).toBeLessThan(2e-3);
});

describe('the spectrum', () => {
  const { spectrum } = smoothingCost(motion, ORDER_2, swings);

  test.each([2, 5, 12, 25])('is cut by the square of the response at %d Hz', (hz) => {
    const k = Math.round(hz / spectrum!.frequencyHz[1]!);
    const gain = magnitudeAt(designLowPass(2, 25, RATE_HZ), spectrum!.frequencyHz[k]!, RATE_HZ);
    // blocks cut the trace, so that a little of what the filter still holds falls into the next one
    expect(spectrum!.after[k]! / spectrum!.before[k]! / gain ** 2).toBeGreaterThan(0.9);
    expect(spectrum!.after[k]! / spectrum!.before[k]! / gain ** 2).toBeLessThan(1.1);
  });
});

test.each([
  // published check values, FLT-2: |H|² = 1 / (1 + (f / fc)^2n) [recomputed]; far below half the rate the warp is small
  ['order 1 at half its cutoff', { kind: 'butterworth', order: 1, cutoffHz: 20, lengthMs: 25 }, 10, -0.9691],
  ['order 2 at its cutoff', { kind: 'butterworth', order: 2, cutoffHz: 20, lengthMs: 25 }, 20, -3.0103],
  [
    'order 4 at twice its cutoff',
    { kind: 'butterworth', order: 4, cutoffHz: 10, lengthMs: 25 },
    20,
    -24.099331,
  ],
  ['a log too slow for it', { kind: 'butterworth', order: 2, cutoffHz: 3000, lengthMs: 25 }, 10, 0],
  ['no smoothing', { kind: 'none', order: 2, cutoffHz: 20, lengthMs: 25 }, 10, 0],
] as const)('the response of %s', (_name, settings, hz, db) => {
  expect(Math.abs(smoothingGainDb(settings, 4000, hz)! - db)).toBeLessThan(0.01);
});

test('first-order smoothing passes half the power where its exact -3 dB point is (FLT-9 [recomputed])', () => {
  const settings = { kind: 'firstOrder', order: 1, cutoffHz: 10, lengthMs: 25 } as const;
  expect(smoothingGainDb(settings, 100, 10.34654098)).toBeCloseTo(-10 * Math.log10(2), 6);
});

test('a median has no response at any frequency', () => {
  expect(smoothingGainDb({ ...ORDER_2, kind: 'median' }, 200, 5)).toBe(null);
});

describe('one wrong sample', () => {
  const leftBy = (settings: SmoothingSettings) => smoothingCost(motion, settings, swings).spikeLeft!;

  test('comes through whole where nothing is smoothed', () => {
    const { median, worst, n } = leftBy({ ...ORDER_2, kind: 'none' });
    expect(median).toBeCloseTo(1, 9);
    expect(worst).toBeCloseTo(1, 9);
    expect(n).toBeGreaterThan(10);
  });

  test('is left of by the highest of the impulse response, wherever it stands, in a filter that is linear', () => {
    const smoother = makeSmoother(ORDER_2, RATE_HZ);
    smoother.step(0);
    const highest = Math.max(...Array.from({ length: 200 }, (_, n) => smoother.step(n === 0 ? 1 : 0)));
    const { median, worst } = leftBy(ORDER_2);
    expect(median).toBeCloseTo(highest, 6);
    expect(worst).toBeCloseTo(highest, 4);
    expect(leftBy({ ...ORDER_2, kind: 'movingAverage', lengthMs: 20 }).median).toBeCloseTo(0.1, 6);
  });

  test('is next to nothing behind a median: no more than the swing changes over a sample', () => {
    const { median, worst } = leftBy({ ...ORDER_2, kind: 'median', lengthMs: 20 });
    expect(median).toBeLessThan(1e-3);
    // A swing of 120° in 0.3 s changes its rate by at most 7700 °/s², 15 °/s a sample.
    expect(worst).toBeLessThan(16 / SPIKE_DPS);
  });
});

test('a median on swings: its latency is about half its window, and it cuts peaks less than the average does', () => {
  const settings = { ...ORDER_2, kind: 'median', lengthMs: 50 } as const;
  const median = smoothingCost(motion, settings, swings);
  const average = smoothingCost(motion, { ...settings, kind: 'movingAverage' }, swings);
  expect(Math.abs(median.latencyMs!.median - rampDelayMs(settings, RATE_HZ))).toBeLessThan(2);
  expect(Math.abs(average.latencyMs!.median - rampDelayMs(settings, RATE_HZ))).toBeLessThan(2);
  // Of a peak that is a parabola, x² off at x from its top, the median of a window w takes (w / 4)², the average w² / 12.
  const [cut, cutByAverage] = [median.peakLoss!.median, average.peakLoss!.median];
  expect(cut).toBeGreaterThan(0);
  expect(cutByAverage / cut).toBeGreaterThan(1.2);
  expect(cutByAverage / cut).toBeLessThan(1.45);
});

test('a take without a swing costs nothing that could be told', () => {
  const cost = smoothingCost(motionOf(0), ORDER_2, []);
  expect(cost.peakLoss).toBe(null);
  expect(cost.latencyMs).toBe(null);
});

describe('a labelled swing', () => {
  const end = motion.timeUs.at(-1)!;
  const labelled = (startUs: number, endUs: number) =>
    ({ startUs, endUs, peakUs: startUs, peakDps: 0, saturated: false, by: 'person' }) as const;
  const half = motion.timeUs.length >> 1;
  const torn = {
    ...motion,
    timeUs: motion.timeUs.map((us, i) => (i < half ? us : us + 2e6)),
    segments: [
      { start: 0, end: half },
      { start: half, end: motion.timeUs.length },
    ],
  };
  const gapUs = torn.timeUs[half - 1]!;

  test.each([
    ['behind the end of the take', motion, labelled(end + 1, end + 300_000)],
    ['in a gap', torn, labelled(gapUs + 500_000, gapUs + 800_000)],
  ])('%s has nothing to lose, and leaves the others alone', (_name, where, label) => {
    const cost = smoothingCost(where, ORDER_2, [swings[0]!, label]);
    expect(cost.swings).toBe(2);
    expect(cost.peakLoss).toEqual(smoothingCost(where, ORDER_2, [swings[0]!]).peakLoss);
  });
});

test('of two swings the median is the middle between them', () => {
  const lossOf = (...some: typeof swings) => smoothingCost(motion, ORDER_2, some).peakLoss!.median;
  const gentle = { ...swings[1]!, endUs: swings[1]!.peakUs - 60_000 };
  const [a, b] = [lossOf(swings[0]!), lossOf(gentle)];
  expect(Math.abs(a - b)).toBeGreaterThan(0.01);
  expect(lossOf(swings[0]!, gentle)).toBeCloseTo((a + b) / 2, 12);
});
