import { describe, expect, test } from 'vitest';
import {
  coherentGain,
  makeWindow,
  noiseBandwidthBins,
  scallopingDb,
} from '../../../server/engine/spectrum/window.ts';

// F. J. Harris, Proc. IEEE 66(1), 1978, Table I (digits from memory, to two decimals); further digits recomputed from
// ENBW = (a0² + ½ Σ a_k²) / a0² and the window's transform at half a bin.
describe('figures of the windows (Harris 1978; digits beyond the second recomputed)', () => {
  test.each([
    ['rectangle', 1, 1, -3.9223975],
    ['hann', 0.5, 1.5, -1.4236228],
    ['hamming', 0.54, 1.3628257888, -1.7514311],
    ['blackman', 0.42, 1.7267573696, -1.0988788],
    ['blackmanHarris', 0.35875, 2.0043529382, -0.8255722],
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
    const w = makeWindow('blackmanHarris', 16);
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
