import type { Section } from './biquad.ts';

/** Quality of each second-order section: 1 / (2 cos θ) of its pole pair. */
const QUALITIES = {
  2: [Math.SQRT1_2],
  4: [1 / (2 * Math.cos(Math.PI / 8)), 1 / (2 * Math.cos((3 * Math.PI) / 8))],
} as const;

/**
 * Butterworth low-pass, gain 1 at DC in every section.
 * @param cutoffHz  the -3.0103 dB frequency, 0 < cutoffHz < sampleHz / 2.
 * @throws RangeError  if the cutoff is outside.
 * Source: bilinear transform of the normalised polynomials (S. Butterworth, Wireless Engineer 7, 1930), pre-warped at
 * the cutoff; order 2 equals the low-pass of the W3C Audio EQ Cookbook with Q = 1/√2.
 */
export function designLowPass(order: 1 | 2 | 4, cutoffHz: number, sampleHz: number): Section[] {
  return lowPassFromWarped(order, warped(cutoffHz, sampleHz));
}

/** Butterworth high-pass, gain 1 at half the sample rate; parameters, errors and source as for the low-pass. */
export function designHighPass(order: 1 | 2, cutoffHz: number, sampleHz: number): Section[] {
  const k = warped(cutoffHz, sampleHz);
  if (order === 1) return [{ b0: 1 / (1 + k), b1: -1 / (1 + k), b2: 0, a1: (k - 1) / (k + 1), a2: 0 }];
  const { norm, a1, a2 } = poles(k, Math.SQRT1_2);
  return [{ b0: norm, b1: -2 * norm, b2: norm, a1, a2 }];
}

/** A Butterworth low-pass by its warped frequency k = tan(π f / fs) itself. */
export function lowPassFromWarped(order: 1 | 2 | 4, k: number): Section[] {
  if (order === 1) return [{ b0: k / (1 + k), b1: k / (1 + k), b2: 0, a1: (k - 1) / (k + 1), a2: 0 }];
  return QUALITIES[order].map((quality) => {
    const { norm, a1, a2 } = poles(k, quality);
    return { b0: k * k * norm, b1: 2 * k * k * norm, b2: k * k * norm, a1, a2 };
  });
}

/** tan(π f / fs): the analogue frequency that the bilinear transform puts at f. */
export function warped(cutoffHz: number, sampleHz: number): number {
  if (!(cutoffHz > 0 && cutoffHz < sampleHz / 2)) {
    throw new RangeError(`cutoffHz must be in (0, ${sampleHz / 2}), got ${cutoffHz}`);
  }
  return Math.tan((Math.PI * cutoffHz) / sampleHz);
}

function poles(k: number, quality: number): { norm: number; a1: number; a2: number } {
  const norm = 1 / (1 + k / quality + k * k);
  return { norm, a1: 2 * (k * k - 1) * norm, a2: (1 - k / quality + k * k) * norm };
}
