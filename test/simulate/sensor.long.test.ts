import { describe, expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { STEADY_CLOCK, sampleTimes } from '../../scripts/simulate/clock.ts';
import { type AxisName, sensorFromProp } from '../../scripts/simulate/mounting.ts';
import { onStand } from '../../scripts/simulate/moves.ts';
import { type ChannelModel, idealSensor, limitBandwidth, readAxis } from '../../scripts/simulate/sensor.ts';
import { simulateTake } from '../../scripts/simulate/take.ts';

const CLEAN: ChannelModel = idealSensor([0, 0, 0]).gyro;

function spread(x: Float64Array): { mean: number; deviation: number } {
  const mean = x.reduce((sum, value) => sum + value, 0) / x.length;
  const variance = x.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (x.length - 1);
  return { mean, deviation: Math.sqrt(variance) };
}

describe('noise', () => {
  // ALN-4 [recomputed]: N = s / sqrt(rate); 0.1 deg/s at 100 Hz is 0.01 deg/s per root hertz
  test('0.01 deg/s per root hertz at 100 Hz scatters by 0.1 deg/s', () => {
    const read = readAxis(new Float64Array(40_000), 0, { ...CLEAN, noiseDensity: 0.01 }, 100, 5);
    // standard error of a deviation: 1/sqrt(2n) = 0.35 %; five of them
    expect(Math.abs(spread(read).deviation / 0.1 - 1)).toBeLessThan(0.018);
    expect(Math.abs(spread(read).mean)).toBeLessThan(5 * (0.1 / 200));
  });

  // ALN-4 [recomputed]: the angle after 60 s is off by 0.0774596669 deg, one standard deviation
  test('integrated over a minute it walks 0.0775 deg', () => {
    const ends = new Float64Array(400);
    for (let k = 0; k < ends.length; ++k) {
      const read = readAxis(new Float64Array(6000), 0, { ...CLEAN, noiseDensity: 0.01 }, 100, 1000 + k);
      ends[k] = read.reduce((sum, value) => sum + value / 100, 0);
    }
    // 400 walks know their deviation to 3.5 %; four of those
    expect(Math.abs(spread(ends).deviation / 0.0774596669 - 1)).toBeLessThan(0.14);
  });

  test('the rate of the log does not change the density', () => {
    const at = (rateHz: number) =>
      spread(readAxis(new Float64Array(20_000), 0, { ...CLEAN, noiseDensity: 0.005 }, rateHz, 9)).deviation;
    expect(at(400) / at(100)).toBeCloseTo(2, 12);
  });
});

describe('steps and ends', () => {
  // UNI-7, Widrow and Kollar 2008 [recomputed; citation from memory]: q/sqrt 12 = 0.0176021424 deg/s
  test('steps of 1/16.4 deg/s scatter by q over root 12', () => {
    const ramp = Float64Array.from({ length: 50_000 }, (_, i) => i * 0.00731);
    const read = readAxis(ramp.slice(), 0, { ...CLEAN, codesPerUnit: 16.4 }, 100, 1);
    const error = read.map((value, i) => value - ramp[i]!);
    // the ramp visits every part of a step evenly, so the error is uniform; 50 000 of them agree to 1 %
    expect(Math.abs(spread(error).deviation / 0.0176021424 - 1)).toBeLessThan(0.01);
    expect(error.every((e) => Math.abs(e) <= 0.5 / 16.4 + 1e-12)).toBe(true);
  });

  // UNI-3 [ends recomputed; sensitivities read in quotations of the datasheet]
  test.each([
    [16.4, 1997.987805, -1998.04878],
    [32.8, 998.993902, -999.02439],
    [2048, 15.99951172, -16],
  ])('a channel of %d codes per unit reads from %d down to %d', (codesPerUnit, top, bottom) => {
    const read = readAxis(
      Float64Array.from([1e6, -1e6, 0]),
      0,
      { ...CLEAN, codesPerUnit, noiseDensity: 0 },
      100,
      1,
    );
    expect(read[0]).toBeCloseTo(top, 6);
    expect(read[1]).toBeCloseTo(bottom, 5);
    expect(read[2]).toBe(0);
  });

  test('bias stands on the sensor axes and drifts by so much a minute', () => {
    const model: ChannelModel = { ...CLEAN, bias: [1, -2, 3], driftPerMin: 0.6 };
    const read = readAxis(new Float64Array(6001), 1, model, 100, 1);
    expect(read[0]).toBe(-2);
    expect(read[6000]).toBeCloseTo(-1.4, 12);
  });
});

// FLT-1, FLT-2 [recomputed; citation from memory]
test.each([
  [50, 100, -0.263289],
  [100, 100, -3.0103],
  [200, 100, -12.304489],
])('at %d Hz a low-pass of %d Hz passes %d dB', (hz, cutoffHz, db) => {
  const sine = Float64Array.from({ length: 40_000 }, (_, i) => Math.sin((2 * Math.PI * hz * i) / 4000));
  const passed = limitBandwidth(sine.slice(), cutoffHz, 4000).subarray(4000);
  // the analogue figure; warping of the bilinear transform is below 0.2 dB at a twentieth of 4 kHz
  expect(20 * Math.log10(spread(passed).deviation / Math.SQRT1_2)).toBeCloseTo(db, 0);
  expect(Math.abs(20 * Math.log10(spread(passed).deviation / Math.SQRT1_2) - db)).toBeLessThan(0.2);
});

describe('mount', () => {
  test('24 mounts are rotations; an axis named twice is refused', () => {
    const axes: readonly AxisName[] = ['+x', '-x', '+y', '-y', '+z', '-z'];
    let good = 0;
    for (const tip of axes) {
      for (const side of axes) {
        if (tip[1] === side[1]) {
          expect(() => sensorFromProp({ tip, side })).toThrow(RangeError);
          continue;
        }
        const [a, b, c] = sensorFromProp({ tip, side });
        const det =
          a[0] * (b[1] * c[2] - b[2] * c[1]) -
          a[1] * (b[0] * c[2] - b[2] * c[0]) +
          a[2] * (b[0] * c[1] - b[1] * c[0]);
        expect(det).toBe(1);
        ++good;
      }
    }
    expect(good).toBe(24);
  });

  test('the axis named as tip reads what happens along the blade', () => {
    const c = new Choreography(1, { tremorDps: 0, tremorMps2: 0, swayDeg: 0 });
    c.startAt({ tilt: -90 });
    onStand(c, 0.1);
    const sensor = { ...idealSensor([0.2, 0, 0]), mount: { tip: '-y', side: '+z' } as const };
    const { log } = simulateTake({ rateHz: 100, sensor, choreography: c.finish(), seed: 1 });
    // blade upright: the specific force of 1 g points to the tip, which is the sensor's -y
    expect(log.accelYG[5]).toBeCloseTo(-1, 12);
    expect(log.accelXG[5]).toBeCloseTo(0, 12);
    expect(log.accelZG[5]).toBeCloseTo(0, 12);
  });
});

describe('clock', () => {
  test('stamps start at 0, rise, and keep to whole steps', () => {
    const clock = { jitterUs: 300, skewPpm: 40, stampStepUs: 1000, lostRows: 4, lostRun: null };
    const { stampUs, trueS, lost } = sampleTimes(200, 20, clock, 3);
    expect(stampUs[0]).toBe(0);
    expect(stampUs.length).toBe(4001 - 4);
    expect(lost.length).toBe(4);
    for (let k = 1; k < stampUs.length; ++k) {
      expect(stampUs[k]! % 1000).toBe(0);
      expect(stampUs[k]!).toBeGreaterThan(stampUs[k - 1]!);
      expect(Math.abs(stampUs[k]! - trueS[k]! * 1e6 * (1 + 40e-6))).toBeLessThanOrEqual(500.001);
    }
  });

  test('a lost run leaves a hole of its length', () => {
    const { stampUs } = sampleTimes(100, 10, { ...STEADY_CLOCK, lostRun: { atS: 4, rows: 12 } }, 3);
    const steps = stampUs.subarray(1).map((us, k) => us - stampUs[k]!);
    expect(steps.filter((step) => step === 130_000).length).toBe(1);
    expect(steps.filter((step) => step === 10_000).length).toBe(steps.length - 1);
  });
});
