import FFT from 'fft.js';
import { describe, expect, test } from 'vitest';
import { type WelchSettings, welch } from '../../../server/engine/spectrum/welch.ts';
import { makeWindow } from '../../../server/engine/spectrum/window.ts';
import { blockDensity, dftBin } from '../../reference/dft.ts';
import { seededNormal } from '../../seeded.ts';

const plain = (changes: Partial<WelchSettings> = {}): WelchSettings => ({
  blockSamples: 64,
  overlapSamples: 32,
  window: 'hann',
  detrend: 'none',
  ...changes,
});

const total = (density: Float64Array, binHz: number): number =>
  density.reduce((sum, d) => sum + d * binHz, 0);

describe('the transform underneath gives known vectors [recomputed]', () => {
  test.each([
    ['a single 1', [1, 0, 0, 0, 0, 0, 0, 0], Array(8).fill([1, 0])],
    [
      '0 to 7',
      [0, 1, 2, 3, 4, 5, 6, 7],
      [
        [28, 0],
        [-4, 9.656854249492],
        [-4, 4],
        [-4, 1.656854249492],
        [-4, 0],
        [-4, -1.656854249492],
        [-4, -4],
        [-4, -9.656854249492],
      ],
    ],
    [
      'a cosine of one turn',
      [0, 1, 2, 3, 4, 5, 6, 7].map((n) => Math.cos((2 * Math.PI * n) / 8)),
      [
        [0, 0],
        [4, 0],
        [0, 0],
        [0, 0],
        [0, 0],
        [0, 0],
        [0, 0],
        [4, 0],
      ],
    ],
  ])('%s', (_name, x, bins) => {
    const fft = new FFT(8);
    const out = fft.createComplexArray();
    fft.realTransform(out, x);
    fft.completeSpectrum(out);
    bins.forEach(([re, im], k) => {
      expect(out[2 * k]).toBeCloseTo(re!, 11);
      expect(out[2 * k + 1]).toBeCloseTo(im!, 11);
      expect(dftBin(x, k).re).toBeCloseTo(re!, 11);
      expect(dftBin(x, k).im).toBeCloseTo(im!, 11);
    });
  });
});

describe('a sine of amplitude 2 on bin 32 of 256 (Welch 1967 for the averaging) [recomputed]', () => {
  const x = Float64Array.from({ length: 256 }, (_, n) => 2 * Math.sin((2 * Math.PI * 12.5 * n) / 100));

  test.each([
    ['rectangle', 5.12],
    ['hann', 3.413333333],
    ['flatTop', 1.358001412],
  ] as const)('peaks at (A²/2) / (noise bandwidth × bin): %s, %f', (window, peak) => {
    const s = welch(x, 100, plain({ blockSamples: 256, overlapSamples: 0, window }));
    expect(s.frequencyHz[32]).toBe(12.5);
    expect(s.density[32]).toBeCloseTo(peak, 8);
    expect(total(s.density, 100 / 256)).toBeCloseTo(2, 9);
  });

  test('three overlapping Hann blocks of 128 halve the peak', () => {
    const s = welch(x, 100, plain({ blockSamples: 128, overlapSamples: 64 }));
    expect(s.blocks).toBe(3);
    expect(s.density[16]).toBeCloseTo(1.706666667, 8);
  });
});

describe('a fixed sequence of integers, against SciPy 1.17.1 signal.welch (figures taken over, not rerun)', () => {
  const x = Float64Array.from({ length: 256 }, (_, i) => ((7919 * i) % 101) / 50 - 1);

  test.each([
    ['none', [0.000103201481, 0.001458586042, 0.003757203666, 0.001645408081, 0.001117452193]],
    ['mean', [0.000123800213, 0.001605276359, 0.003757203666, 0.001645408081, 0.001117452193]],
  ] as const)('detrend %s', (detrend, expected) => {
    const { density } = welch(x, 100, plain({ detrend }));
    expected.forEach((value, k) => {
      expect(density[k]).toBeCloseTo(value, 11);
    });
  });

  test('sums to the power of the series', () => {
    expect(total(welch(x, 100, plain({ detrend: 'mean' })).density, 100 / 64)).toBeCloseTo(0.341547347, 8);
    const whole = welch(x, 100, plain({ blockSamples: 256, overlapSamples: 0, window: 'rectangle' }));
    const meanSquare = x.reduce((sum, v) => sum + v * v, 0) / 256;
    expect(total(whole.density, 100 / 256)).toBeCloseTo(meanSquare, 12);
    expect(meanSquare).toBeCloseTo(0.340309375, 9);
  });
});

describe('averaging', () => {
  const normal = seededNormal(5);
  const x = Float64Array.from({ length: 400 }, () => normal());

  test('equals the mean of blocks that the definition gives one by one', () => {
    const s = welch(x, 250, plain({ blockSamples: 32, overlapSamples: 8, window: 'flatTop' }));
    const starts = [...Array(s.blocks).keys()].map((k) => k * 24);
    const each = starts.map((from) =>
      blockDensity(x.subarray(from, from + 32), makeWindow('flatTop', 32), 250),
    );
    expect(starts.at(-1)! + 24 + 32).toBeGreaterThan(400);
    s.density.forEach((d, k) => {
      expect(d).toBeCloseTo(each.reduce((sum, block) => sum + block[k]!, 0) / each.length, 13);
    });
  });

  test('takes no block across a border of segments', () => {
    const parts = [
      { start: 0, end: 100 },
      { start: 100, end: 229 },
    ];
    const s = welch(x, 250, plain(), parts);
    expect(s.blocks).toBe(2 + 3);
    const a = welch(x.subarray(0, 100), 250, plain());
    const b = welch(x.subarray(100, 229), 250, plain());
    s.density.forEach((d, k) => {
      expect(d).toBeCloseTo((2 * a.density[k]! + 3 * b.density[k]!) / 5, 13);
    });
  });

  test('leaves out a block that holds a NaN', () => {
    const holed = x.slice();
    holed[70] = Number.NaN;
    const s = welch(holed, 250, plain());
    expect(s.blocks).toBe(welch(x, 250, plain()).blocks - 2);
    expect(s.density.every(Number.isFinite)).toBe(true);
  });

  test('of nothing is NaN, not 0', () => {
    const s = welch(x.subarray(0, 63), 250, plain());
    expect(s.blocks).toBe(0);
    expect(s.density.every(Number.isNaN)).toBe(true);
  });
});

test.each([
  [{ blockSamples: 48 }, /power of two/],
  [{ blockSamples: 4 }, /8 or more/],
  [{ overlapSamples: 64 }, /overlapSamples/],
  [{ overlapSamples: 1.5 }, /overlapSamples/],
] as const)('%o is refused', (changes, message) => {
  expect(() => welch(new Float64Array(100), 100, plain(changes))).toThrow(message);
});
