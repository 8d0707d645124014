import { describe, expect, test } from 'vitest';
import { samplesFromMs } from '../../../server/engine/base/sampleCount.ts';
import { DEG_PER_RAD, RAD_PER_DEG, STANDARD_GRAVITY_MPS2 } from '../../../server/engine/base/units.ts';
import { fc } from '../properties.ts';

describe('a duration becomes whole samples, rounded up', () => {
  test.each([
    [0, 200, 0],
    [120, 200, 24],
    [180, 100, 18],
    [121, 200, 25],
    [0.1, 100, 1],
    [20, 104, 3],
    [20, 285.714285714, 6],
    [1000, 99.85, 100],
  ])('%d ms at %d Hz are %d', (ms, rateHz, samples) => {
    expect(samplesFromMs(ms, rateHz)).toBe(samples);
  });

  test('whole products stay whole, whatever the last bit of the product', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 5000 }), fc.integer({ min: 1, max: 2000 }), (samples, rateHz) => {
        expect(samplesFromMs((samples * 1000) / rateHz, rateHz)).toBe(samples);
      }),
    );
  });

  test('never less time than asked for, nor a whole sample more', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 3000, noNaN: true }),
        fc.double({ min: 5, max: 4000, noNaN: true }),
        (ms, rateHz) => {
          const lasting = (samplesFromMs(ms, rateHz) * 1000) / rateHz;
          expect(lasting).toBeGreaterThanOrEqual(ms - 1e-6);
          expect(lasting).toBeLessThan(ms + 1000 / rateHz);
        },
      ),
    );
  });
});

// Exact: 3rd CGPM (1901); SI Brochure for the degree (cited from memory)
test('units: 1 g is 9.80665 m/s², 1 deg is π/180 rad, 1 rad 57.29577951308232 deg', () => {
  expect(STANDARD_GRAVITY_MPS2).toBe(9.80665);
  expect(RAD_PER_DEG).toBe(0.017453292519943295);
  expect(DEG_PER_RAD).toBe(57.29577951308232);
  expect(2000 * RAD_PER_DEG).toBe(34.90658503988659);
});
