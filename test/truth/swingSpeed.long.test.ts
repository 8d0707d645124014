import { describe, expect, test } from 'vitest';
import { DEVICES } from '../../scripts/simulate/demo/devices.ts';
import { randomTakes } from '../../scripts/simulate/randomTakes.ts';
import type { SensorModel } from '../../scripts/simulate/sensor.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { estimateBias } from '../../server/engine/calibrate/bias.ts';
import { proposeSwings } from '../../server/engine/truth/swings.ts';
import { see } from './simulated.ts';

/** A device of the demo without the ends of its ranges, so that only noise, bias, bandwidth and steps remain. */
function unclipped(device: keyof typeof DEVICES, leverArmM: number): SensorModel {
  const { gyro, accel } = DEVICES[device];
  return {
    name: device,
    leverArmM: [leverArmM, 0, 0],
    mount: { tip: '-y', side: '+z' },
    gyro: { ...gyro, codesPerUnit: null },
    accel: { ...accel, codesPerUnit: null },
  };
}

describe.each([
  [100, 'small'],
  [200, 'slim'],
  [500, 'narrow'],
  [1000, 'wide'],
] as const)('at %d Hz with the "%s" sensor', (rateHz, device) => {
  const takes = randomTakes({
    count: 6,
    seed: rateHz,
    rateHz,
    leverArmM: [0.1, 0.7],
    peakDps: [200, 1500],
    swings: 4,
    sensor: (leverArmM) => unclipped(device, leverArmM),
  });

  test('every swing is found, once, and its peak is within 2 % of the truth', () => {
    for (const take of takes) {
      const { motion } = see(take);
      const found = proposeSwings(motion);
      const seed = `lever arm ${take.truth.sensor.leverArmM[0].toFixed(3)}`;
      expect(found.length, seed).toBe(take.truth.swings.length);
      found.forEach((swing, k) => {
        const truth = take.truth.swings[k]!;
        // The shortest swing lasts 0.2 s: its spectrum lies below 10 Hz, the filter's corner at 16, and noise adds
        // at most 0.14 deg/s root mean square a sample. Two in a hundred is what a threshold in deg/s can show.
        expect(Math.abs(swing.peakDps / truth.peakDps - 1), seed).toBeLessThan(0.02);
        // zero phase: half a sample, the sensor's own delay (up to 5.4 ms at 42 Hz), and the flat top of a peak
        expect(Math.abs(swing.peakUs - truth.peakUs), seed).toBeLessThan(12_000 + 0.5e6 / rateHz);
      });
    }
  });

  test('the bias comes out of the first seconds, to the noise of its mean', () => {
    for (const take of takes) {
      const { uniform } = buildTimeBase(take.log);
      const [knot] = estimateBias(uniform).knots;
      const { gyroBiasDps, gyroNoiseDpsPerRootHz, gyroDriftDpsPerMin } = take.truth.sensor;
      // white noise averaged over a second and more: at most its density; five of them, and a second's drift or two
      const tolerance = 5 * gyroNoiseDpsPerRootHz + Math.abs(gyroDriftDpsPerMin) / 30;
      expect(Math.abs(knot!.xDps - gyroBiasDps[0])).toBeLessThan(tolerance);
      expect(Math.abs(knot!.yDps - gyroBiasDps[1])).toBeLessThan(tolerance);
      expect(Math.abs(knot!.zDps - gyroBiasDps[2])).toBeLessThan(tolerance);
    }
  });
});
