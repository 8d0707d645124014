import { describe, expect, test } from 'vitest';
import { STANDARD_GRAVITY_MPS2 } from '../../../server/engine/base/units.ts';
import { Cascade } from '../../../server/engine/filter/biquad.ts';
import { designLowPass } from '../../../server/engine/filter/butterworth.ts';

// A half-sine shock of 10 g and 8 ms, the shape of IEC 60068-2-27 (from memory); figures recomputed. What makes an impact
// is gone behind the smoothing that a swing speed takes, so the two need filters of their own.
const PEAK_G = 10;
const LASTS_S = 0.008;
const shockG = (tS: number) => (tS > 0 && tS < LASTS_S ? PEAK_G * Math.sin((Math.PI * tS) / LASTS_S) : 0);

/** The largest sample of a shock that begins anywhere between two of them. */
function sampledPeakG(rateHz: number, share: number): number {
  let peak = 0;
  for (let n = 0; n <= Math.ceil(LASTS_S * rateHz) + 1; ++n)
    peak = Math.max(peak, shockG((n - share) / rateHz));
  return peak;
}

describe('a half-sine shock of 10 g and 8 ms', () => {
  test('changes the speed by 0.4994 m/s', () => {
    let sum = 0;
    for (let n = 0; n < 8000; ++n) sum += shockG((n + 0.5) * 1e-6) * 1e-6;
    expect(sum * STANDARD_GRAVITY_MPS2).toBeCloseTo(0.499448583, 6);
  });

  test.each([
    [10, 1.450306, 21.81],
    [20, 2.849223, 13.11],
    [50, 6.301249, 8.21],
  ])('behind a Butterworth of order 2 at %i Hz peaks at %f g after %f ms', (cutoffHz, peakG, atMs) => {
    // 100 kHz stands for the analogue filter
    const filter = new Cascade(designLowPass(2, cutoffHz, 100_000));
    let [largest, at] = [0, 0];
    for (let n = 0; n < 8000; ++n) {
      const y = filter.step(shockG(n / 100_000));
      if (y > largest) [largest, at] = [y, n];
    }
    expect(largest).toBeCloseTo(peakG, 4);
    expect(at / 100).toBeCloseTo(atMs, 1);
  });

  test.each([
    [100, 0],
    [208, 5.865627],
    [1000, 9.807853],
  ])('sampled at %i Hz shows at least %f g', (rateHz, leastG) => {
    let least = PEAK_G;
    for (let k = 0; k <= 2000; ++k) least = Math.min(least, sampledPeakG(rateHz, k / 2000));
    expect(least).toBeCloseTo(leastG, 2);
  });
});
