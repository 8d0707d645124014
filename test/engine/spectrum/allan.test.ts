import { describe, expect, test } from 'vitest';
import { allanCurve, allanDeviation } from '../../../server/engine/spectrum/allan.ts';
import { readNoiseFigures } from '../../../server/engine/spectrum/noiseFigures.ts';
import { seededNormal } from '../../seeded.ts';

/** W. J. Riley, NIST SP 1065, 2008, section 12.3, Table 30 (from NBS Monograph 140). */
const NINE = Float64Array.of(892, 809, 823, 798, 671, 644, 883, 903, 677);

/** SP 1065, section 12.4: n → 16807 n mod 2147483647, from 1234567890; 1000 values as parts of the modulus. */
function thousand(): Float64Array {
  const out = new Float64Array(1000);
  let n = 1234567890;
  for (let i = 0; i < out.length; ++i) {
    out[i] = n / 2147483647;
    n = (16807 * n) % 2147483647;
  }
  return out;
}

/** Seven digits, as the tables print them. */
const digits = (value: number) => value.toExponential(6);

describe('NIST SP 1065, the nine values', () => {
  test.each([
    [1, 91.22945],
    [2, 85.95287],
  ])('overlapping deviation over %i: %f', (m, expected) => {
    expect(digits(allanDeviation(NINE, m))).toBe(digits(expected));
  });
});

describe('NIST SP 1065, the thousand values', () => {
  const x = thousand();

  test('are the ones printed there', () => {
    expect(x[1]! * 2147483647).toBe(395529916);
    expect(Math.round(x[999]! * 2147483647)).toBe(1560135652);
    expect(x.reduce((sum, v) => sum + v, 0) / 1000).toBeCloseTo(0.4897744629, 10);
  });

  test.each([
    [1, 2.922319e-1],
    [10, 9.159953e-2],
    [100, 3.241343e-2],
  ])('overlapping deviation over %i: %f', (m, expected) => {
    expect(digits(allanDeviation(x, m))).toBe(digits(expected));
  });
});

describe('laws', () => {
  test('a sine of rate reads A sin²(πfτ) / (πfτ), at most 0.72461 A (IEEE Std 952, Annex C, from memory)', () => {
    const f = 0.0037101;
    const x = Float64Array.from({ length: 20000 }, (_, i) => 3 * Math.sin(2 * Math.PI * f * i));
    for (const m of [10, 50, 100, 200]) {
      const phase = Math.PI * f * m;
      // averages of samples stand for integrals to (πf)²/6, and the record is no whole number of turns
      expect(allanDeviation(x, m) / ((3 * Math.sin(phase) ** 2) / phase)).toBeCloseTo(1, 2);
    }
    expect(allanDeviation(x, 100)).toBeCloseTo(3 * 0.72461, 2);
  });

  test('a steady value has none, a ramp R τ / √2', () => {
    const flat = new Float64Array(100).fill(7.25);
    const ramp = Float64Array.from({ length: 400 }, (_, i) => 0.5 * i);
    expect(allanDeviation(flat, 4)).toBe(0);
    expect(allanDeviation(ramp, 8)).toBeCloseTo((0.5 * 8) / Math.SQRT2, 9);
  });

  test('a mean changes nothing', () => {
    const lifted = NINE.map((v) => v + 1e6);
    expect(allanDeviation(lifted, 2)).toBeCloseTo(allanDeviation(NINE, 2), 7);
  });

  test('too short a series has none', () => {
    expect(allanDeviation(NINE, 4)).toBeGreaterThan(0);
    expect(allanDeviation(NINE, 5)).toBeNaN();
    expect(allanDeviation(new Float64Array(0), 1)).toBeNaN();
  });

  test.each([0, -1, 1.5, Number.NaN])('averages over %f samples are refused', (m) => {
    expect(() => allanDeviation(NINE, m)).toThrow(/whole number above 0/);
  });
});

describe('a curve', () => {
  test('of white noise falls as N / √τ, and N = s / √fs is read off it (IEEE Std 952) within four errors', () => {
    const normal = seededNormal(99);
    const rate = Float64Array.from({ length: 60000 }, () => 0.1 * normal());
    const curve = allanCurve(rate, 100);
    for (const { tauS, deviation } of curve) {
      // One standard error, as a part of the deviation: 1 / √(2 (M/m - 1)). IEEE Std 952-1997, Annex C (from memory).
      const relativeError = 1 / Math.sqrt(2 * (600 / tauS - 1));
      const expected = 0.01 / Math.sqrt(tauS);
      expect(Math.abs(deviation / expected - 1)).toBeLessThan(4 * relativeError);
    }
    expect(curve[0]!.tauS).toBe(0.01);
    expect(curve.at(-1)!.tauS).toBeLessThanOrEqual(600 / 9);
    expect(readNoiseFigures(curve).densityPerRootHz).toBeCloseTo(0.01, 3);
  });

  test('with a slow wander has a flattest part, whose deviation over 0.6643 is the instability', () => {
    const normal = seededNormal(3);
    let wander = 0;
    const rate = Float64Array.from({ length: 60000 }, () => {
      wander += 0.0005 * normal();
      return wander + 0.1 * normal();
    });
    const curve = allanCurve(rate, 100);
    const { biasInstability } = readNoiseFigures(curve);
    const least = Math.min(...curve.map(({ deviation }) => deviation));
    expect(biasInstability!.value).toBeCloseTo(least / 0.6642824703, 9);
    // where N/√τ = K√(τ/3): τ = √3 N / K = √3 · 0.01 / 0.005, about 3.5 s
    expect(biasInstability!.tauS).toBeGreaterThan(1);
    expect(biasInstability!.tauS).toBeLessThan(12);
  });

  test('of a second of white noise that a sensor’s filter of 5 Hz has smeared has none: it rises first', () => {
    const normal = seededNormal(8);
    const keep = Math.exp((-2 * Math.PI * 5) / 1000);
    let smeared = 0;
    const rate = Float64Array.from({ length: 3000 }, () => {
      smeared = keep * smeared + (1 - keep) * normal();
      return smeared;
    });
    const curve = allanCurve(rate.subarray(2000), 1000);
    expect(curve[3]!.deviation).toBeGreaterThan(curve[0]!.deviation);
    expect(readNoiseFigures(curve).biasInstability).toBe(null);
  });

  test('still falling at its end has no flattest part; of too few values, no points', () => {
    const falling = [1, 2, 4].map((tauS) => ({ tauS, deviation: 1 / tauS }));
    expect(readNoiseFigures(falling)).toEqual({ densityPerRootHz: null, biasInstability: null });
    expect(allanCurve(Float64Array.of(1, 2, 3), 100)).toEqual([]);
    expect(readNoiseFigures([])).toEqual({ densityPerRootHz: null, biasInstability: null });
  });
});
