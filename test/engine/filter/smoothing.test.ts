import { describe, expect, test } from 'vitest';
import {
  makeSmoother,
  rampDelayMs,
  type SmoothingSettings,
  smoothingApplies,
  smoothingDelayMs,
  smoothingSamples,
} from '../../../server/engine/filter/smoothing.ts';
import { seededNormal } from '../../seeded.ts';

const BUTTERWORTH: SmoothingSettings = { kind: 'butterworth', order: 2, cutoffHz: 10, lengthMs: 25 };
const KINDS: readonly SmoothingSettings[] = [
  { kind: 'none', order: 2, cutoffHz: 10, lengthMs: 25 },
  { kind: 'firstOrder', order: 2, cutoffHz: 10, lengthMs: 25 },
  { kind: 'butterworth', order: 1, cutoffHz: 10, lengthMs: 25 },
  BUTTERWORTH,
  { kind: 'butterworth', order: 4, cutoffHz: 10, lengthMs: 25 },
  { kind: 'movingAverage', order: 2, cutoffHz: 10, lengthMs: 40 },
  { kind: 'median', order: 2, cutoffHz: 10, lengthMs: 40 },
  { kind: 'median', order: 2, cutoffHz: 10, lengthMs: 70 },
];
const NAMED = KINDS.map(
  (settings) => [`${settings.kind} ${settings.order}, ${settings.lengthMs} ms`, settings] as const,
);

function noise(seed: number, length: number): number[] {
  const normal = seededNormal(seed);
  return Array.from({ length }, () => normal());
}

function run(settings: SmoothingSettings, x: readonly number[], sampleHz = 100): number[] {
  const smoother = makeSmoother(settings, sampleHz);
  return x.map((value) => smoother.step(value));
}

describe.each(NAMED)('%s', (_, settings) => {
  test('a constant comes out as it went in, from the first sample on', () => {
    for (const y of run(settings, new Array(200).fill(-41.5))) expect(y).toBeCloseTo(-41.5, 9);
  });

  test('the first sample after a reset primes it anew', () => {
    const smoother = makeSmoother(settings, 100);
    for (const x of noise(1, 30)) smoother.step(x);
    smoother.reset();
    const x = noise(2, 50);
    expect(x.map((value) => smoother.step(value))).toEqual(run(settings, x));
  });

  test('run in chunks of any size, over a NaN or none, gives what step gives to the bit', () => {
    const sound = noise(6, 300);
    for (const x of [sound, sound.map((value, n) => (n % 90 === 40 ? Number.NaN : value))]) {
      const smoother = makeSmoother(settings, 100);
      const out = new Float64Array(x.length);
      const all = Float64Array.from(x);
      for (let from = 0, size = 0; from < x.length; from += size, size = (size * 7 + 3) % 41)
        smoother.run(all.subarray(from, from + size), out.subarray(from, from + size));
      expect([...out]).toEqual(run(settings, x));
    }
  });

  test('later samples change no earlier output', () => {
    const x = noise(3, 60);
    const other = x.map((value, n) => (n < 40 ? value : value + 1000));
    expect(run(settings, other).slice(0, 40)).toEqual(run(settings, x).slice(0, 40));
    expect(run(settings, other)[50]).not.toBe(run(settings, x)[50]);
  });

  test('a NaN gives NaN and leaves no trace', () => {
    const x = noise(4, 40);
    const broken = run(settings, [Number.NaN, ...x.slice(0, 20), Number.NaN, ...x.slice(20)]);
    expect(broken[0]).toBeNaN();
    expect(broken[21]).toBeNaN();
    expect([...broken.slice(1, 21), ...broken.slice(22)]).toEqual(run(settings, x));
  });

  test('its delay at 1 Hz is what a sine shows', () => {
    const sine = Array.from({ length: 4000 }, (_, n) => Math.sin((2 * Math.PI * n) / 1000));
    const y = run(settings, sine, 1000);
    // A swell of the sine's strength is delayed by the group delay; at 1 Hz under a 10 Hz corner the phase delay is the
    // same to 2 %.
    const upward = y.findIndex((value, n) => n > 2500 && value >= 0 && y[n - 1]! < 0);
    const part = -y[upward - 1]! / (y[upward]! - y[upward - 1]!);
    const delayMs = upward - 1 + part - 3000;
    const toldMs = smoothingDelayMs(settings, 1000, 1) ?? rampDelayMs(settings, 1000);
    expect(Math.abs(delayMs - toldMs)).toBeLessThanOrEqual(0.02 * delayMs + 1e-9);
  });
});

test('the delay of order 2 at 10 of 100 Hz is 2.176 samples at 0 Hz', () => {
  // √2 / (2 tan(π fc / fs)) samples [recomputed]
  expect(smoothingDelayMs(BUTTERWORTH, 100, 0)).toBeCloseTo(21.76250899, 7);
});

test.each([
  ['just below 0.45 of the rate', 44.9, 100, true],
  ['at 0.45 of the rate', 45, 100, false],
  ['far below', 5, 1000, true],
  ['above half the rate', 60, 100, false],
])('a cutoff %s (%d of %d Hz) applies: %s', (_, cutoffHz, sampleHz, applies) => {
  expect(smoothingApplies({ ...BUTTERWORTH, cutoffHz }, sampleHz)).toBe(applies);
});

test.each([
  ['one sample and a little more', 10.1, 100, true, 2],
  ['just one sample', 10, 100, false, 1],
  ['a part of a sample', 1, 100, false, 1],
  ['many samples', 500, 1000, true, 500],
])(
  'a length of %s (%d ms at %d Hz) applies: %s; rounded up it is %d',
  (_, lengthMs, sampleHz, applies, samples) => {
    for (const kind of ['movingAverage', 'median'] as const) {
      const settings: SmoothingSettings = { ...BUTTERWORTH, kind, lengthMs };
      expect(smoothingApplies(settings, sampleHz)).toBe(applies);
      expect(smoothingSamples(settings, sampleHz)).toBe(samples);
    }
  },
);

test('a moving average of N samples is late by (N - 1) / 2 of them at every frequency', () => {
  // Smith, The Scientist and Engineer's Guide to DSP, 1997, ch. 15 (cited from memory).
  const settings: SmoothingSettings = { ...BUTTERWORTH, kind: 'movingAverage', lengthMs: 25 };
  for (const hz of [0, 0.5, 5, 40]) expect(smoothingDelayMs(settings, 200, hz)).toBe(10);
  expect(rampDelayMs(settings, 200)).toBe(10);
});

test('a median has no delay at a frequency, and half its window on a steady rise', () => {
  const settings: SmoothingSettings = { ...BUTTERWORTH, kind: 'median', lengthMs: 25 };
  expect(smoothingDelayMs(settings, 200, 1)).toBe(null);
  expect(rampDelayMs(settings, 200)).toBe(10);
});

test.each(['movingAverage', 'median'] as const)('%s: a length that is none is refused', (kind) => {
  for (const lengthMs of [0, -5, Number.NaN])
    expect(() => makeSmoother({ ...BUTTERWORTH, kind, lengthMs }, 100)).toThrow(RangeError);
});

test('none never applies', () => {
  expect(smoothingApplies({ kind: 'none', order: 2, cutoffHz: 1, lengthMs: 25 }, 1000)).toBe(false);
});

test('where it does not apply, everything passes and nothing is delayed', () => {
  const x = noise(6, 20);
  const settings = { ...BUTTERWORTH, cutoffHz: 60 };
  expect(run(settings, x)).toEqual(x);
  expect(smoothingDelayMs(settings, 100, 1)).toBe(0);
});

test('a cutoff that is no frequency is refused', () => {
  for (const cutoffHz of [0, -1]) {
    expect(() => makeSmoother({ ...BUTTERWORTH, cutoffHz }, 100)).toThrow(RangeError);
    expect(() => makeSmoother({ ...BUTTERWORTH, kind: 'firstOrder', cutoffHz }, 100)).toThrow(RangeError);
  }
});
