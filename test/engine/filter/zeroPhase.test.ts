import { describe, expect, test } from 'vitest';
import { designLowPass } from '../../../server/engine/filter/butterworth.ts';
import { zeroPhaseLowPass } from '../../../server/engine/filter/zeroPhase.ts';
import { expand, forwardBackward, magnitudeOfResponse } from '../../reference/filter.ts';
import { seededNormal } from '../../seeded.ts';

function noise(seed: number, length: number): Float64Array {
  const normal = seededNormal(seed);
  return Float64Array.from({ length }, () => normal());
}

/** The cutoff, in tan(π fc / fs), that Winter's correction gives each pass of order 2. */
const WINTER = 0.802243263;

test.each([
  [10, 100],
  [16, 1000],
  [16, 104],
])(
  'at %d of %d Hz it is two passes designed for the corrected cutoff, over ends reflected',
  (cutoffHz, sampleHz) => {
    // C = (√2 - 1)^(1/4) = 0.802243263, applied to tan(π fc / fs): Winter (cited from memory) [recomputed]
    const each = (Math.atan(Math.tan((Math.PI * cutoffHz) / sampleHz) / WINTER) * sampleHz) / Math.PI;
    const { b, a } = expand(designLowPass(2, each, sampleHz));
    const x = noise(2, 700);
    const slow = forwardBackward(b, a, [...x], Math.ceil((3 * sampleHz) / cutoffHz));
    zeroPhaseLowPass(x, 2, cutoffHz, sampleHz).forEach((value, n) => {
      // the nine digits of the correction
      expect(Math.abs(value - slow[n]!)).toBeLessThan(1e-6);
    });
  },
);

const ORDERS = [1, 2, 4] as const;

describe.each(ORDERS)('order %d', (order) => {
  test('is at 1/√2 at the cutoff after both passes, and 1 at 0 Hz', () => {
    const x = new Float64Array(4001);
    x[2000] = 1;
    const h = [...zeroPhaseLowPass(x, order, 10, 100)];
    expect(magnitudeOfResponse(h, 0.1)).toBeCloseTo(Math.SQRT1_2, 9);
    expect(magnitudeOfResponse(h, 0)).toBeCloseTo(1, 9);
  });

  test('answers an impulse alike on both sides: it delays nothing', () => {
    const x = new Float64Array(801);
    x[400] = 1;
    const h = zeroPhaseLowPass(x, order, 12, 200);
    for (let k = 1; k <= 400; ++k) expect(Math.abs(h[400 + k]! - h[400 - k]!)).toBeLessThan(1e-12);
  });

  test('a ramp stays a ramp and a constant a constant, up to the ends', () => {
    const ramp = Float64Array.from({ length: 300 }, (_, n) => 5 - 0.3 * n);
    zeroPhaseLowPass(ramp, order, 10, 100).forEach((value, n) => {
      // The start of each pass is primed with a value, not a slope: what is left of that, per unit of slope.
      expect(Math.abs(value - ramp[n]!)).toBeLessThan(1e-5);
    });
    for (const y of zeroPhaseLowPass(new Float64Array(50).fill(7), order, 10, 100))
      expect(y).toBeCloseTo(7, 12);
  });
});

test('it may write over its input', () => {
  const x = noise(7, 333);
  const apart = zeroPhaseLowPass(x, 2, 16, 400);
  expect(zeroPhaseLowPass(x, 2, 16, 400, x)).toBe(x);
  expect(x).toEqual(apart);
});

describe('too little to pad', () => {
  test('nothing gives nothing', () => {
    expect(zeroPhaseLowPass(new Float64Array(0), 2, 10, 100).length).toBe(0);
  });
  test('one sample stays', () => {
    expect(zeroPhaseLowPass(Float64Array.of(3.5), 2, 10, 100)[0]).toBeCloseTo(3.5, 12);
  });
  test.each([2, 3, 10, 29])('%d samples of a line stay near it', (length) => {
    const line = Float64Array.from({ length }, (_, n) => n);
    zeroPhaseLowPass(line, 2, 10, 100).forEach((y) => {
      expect(y).toBeGreaterThan(-length);
      expect(y).toBeLessThan(2 * length);
    });
  });
});

test('a cutoff beyond half the rate is refused', () => {
  expect(() => zeroPhaseLowPass(new Float64Array(9), 2, 50, 100)).toThrow(
    'cutoffHz must be in (0, 50), got 50',
  );
});
