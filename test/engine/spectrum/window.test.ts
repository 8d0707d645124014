import { describe, expect, test } from 'vitest';
import { makeWindow } from '../../../server/engine/spectrum/window.ts';

/** Mean of a window: what is left of a steady value. */
function coherentGain(window: Float64Array): number {
  return window.reduce((sum, w) => sum + w, 0) / window.length;
}

/** Equivalent noise bandwidth in bins: N Σw² / (Σw)². */
function noiseBandwidthBins(window: Float64Array): number {
  return window.reduce((sum, w) => sum + w * w, 0) / (window.length * coherentGain(window) ** 2);
}

/** What a tone half way between two bins loses, in dB (negative). */
function scallopingDb(window: Float64Array): number {
  let [re, im] = [0, 0];
  window.forEach((w, n) => {
    re += w * Math.cos((Math.PI * n) / window.length);
    im += w * Math.sin((Math.PI * n) / window.length);
  });
  return 20 * Math.log10(Math.hypot(re, im) / (window.length * coherentGain(window)));
}

// F. J. Harris, Proc. IEEE 66(1), 1978, Table I (digits from memory, to two decimals); further digits recomputed from
// ENBW = (a0² + ½ Σ a_k²) / a0² and the window's transform at half a bin.
describe('figures of the windows (Harris 1978; digits beyond the second recomputed)', () => {
  test.each([
    ['rectangle', 1, 1, -3.9223975],
    ['hann', 0.5, 1.5, -1.4236228],
    ['flatTop', 0.21557895, 3.7702464474, -0.0097781],
  ] as const)('%s: gain %f, %f bins of noise, %f dB', (kind, gain, bins, dB) => {
    const window = makeWindow(kind, 4096);
    expect(coherentGain(window)).toBeCloseTo(gain, 9);
    expect(noiseBandwidthBins(window)).toBeCloseTo(bins, 8);
    expect(scallopingDb(window)).toBeCloseTo(dB, 5);
  });
});

describe('a window', () => {
  test('is periodic: even about its first sample', () => {
    const w = makeWindow('flatTop', 16);
    for (let n = 1; n < 16; ++n) expect(w[n]).toBeCloseTo(w[16 - n]!, 14);
  });

  test('of one sample is that sample whole, less what its cosines take', () => {
    expect(Array.from(makeWindow('rectangle', 1))).toEqual([1]);
    expect(makeWindow('hann', 1)[0]).toBe(0);
  });

  test.each([0, -4, 2.5, Number.NaN])('of length %f is refused', (length) => {
    expect(() => makeWindow('hann', length)).toThrow(/whole number above 0/);
  });
});
