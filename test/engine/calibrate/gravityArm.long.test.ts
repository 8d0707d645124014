import { describe, expect, test } from 'vitest';
import type { UniformLog } from '../../../server/engine/base/log.ts';
import { testGravity } from '../../../server/engine/calibrate/gravityTest.ts';
import { uniformLog } from '../uniformLogs.ts';

const G = 9.80665;
const DEG = Math.PI / 180;

/**
 * A sensor at an arm from a level axis about which it swings as a sine, upright in the middle: what it reads in closed
 * form. The perfect gyro's rates are all about z.
 */
function swung({
  deg,
  hz,
  armM,
  slow = 1,
}: {
  deg: number;
  hz: number;
  armM: number;
  slow?: number;
}): UniformLog {
  const rateHz = 200;
  const w = 2 * Math.PI * hz;
  const phase = (n: number) => (w * n) / rateHz;
  const angle = (n: number) => deg * DEG * Math.sin(phase(n));
  const rate = (n: number) => deg * DEG * w * Math.cos(phase(n));
  const turning = (n: number) => -deg * DEG * w * w * Math.sin(phase(n));
  return uniformLog(
    30 * rateHz,
    {
      gyroZDps: (n) => (slow * rate(n)) / DEG,
      accelXG: (n) => Math.cos(angle(n)) - (armM * rate(n) ** 2) / G,
      accelYG: (n) => -Math.sin(angle(n)) + (armM * turning(n)) / G,
    },
    { rateHz },
  );
}

describe('a perfect gyro that swings as a metronome, its beat near the two seconds of a stretch', () => {
  test.each([
    ['58° either side, 0.69 Hz, arm 0.34 m', { deg: 58, hz: 0.69, armM: 0.34 }],
    ['40° either side, 0.7 Hz, arm 0.2 m', { deg: 40, hz: 0.7, armM: 0.2 }],
    ['40° either side, 0.8 Hz, arm 0.2 m', { deg: 40, hz: 0.8, armM: 0.2 }],
    ['30° either side, 0.9 Hz, arm 0.2 m', { deg: 30, hz: 0.9, armM: 0.2 }],
    ['70° either side, 0.5 Hz, arm 0.4 m', { deg: 70, hz: 0.5, armM: 0.4 }],
  ])('%s: the slope is 1', (_name, shape) => {
    const { verdict, slope, low, high } = testGravity(swung(shape));
    expect(verdict).toBe('ok');
    expect(Math.abs(slope! - 1)).toBeLessThan(0.02);
    expect(low!).toBeLessThan(1);
    expect(high!).toBeGreaterThan(1);
  });

  test('one that reads 13 % too little: the interval holds what it would have to be multiplied by, and not 1', () => {
    const { slope, low, high } = testGravity(swung({ deg: 40, hz: 0.8, armM: 0.2, slow: 0.87 }));
    expect(Math.abs(slope! - 1 / 0.87)).toBeLessThan(0.03);
    expect(low!).toBeGreaterThan(1);
    expect(high!).toBeGreaterThan(1 / 0.87);
  });
});

describe('a force that stays along the body tests nothing, and no gyro fails by it', () => {
  const tilting = (deg: number) => ({
    gyroXDps: (n: number) => deg * 2 * Math.PI * 0.4 * Math.cos((2 * Math.PI * 0.4 * n) / 200),
    gyroYDps: (n: number) => deg * 2 * Math.PI * 0.3 * Math.sin((2 * Math.PI * 0.3 * n) / 200),
  });

  test.each([20, 35])('a drone that leans by %d°, carried by its own thrust', (deg) => {
    const log = uniformLog(6000, { ...tilting(deg), accelZG: (n) => 1.03 + 0.02 * Math.sin(n / 90) });
    const { verdict, slope } = testGravity(log);
    expect(verdict).toBe('along');
    expect(slope).toBeNull();
  });

  test('a bob on a string: it falls freely across the string, and feels only the string', () => {
    // small swings of a simple pendulum of 1 m: f = g cos θ + l ω² along it, nothing across
    const w = Math.sqrt(G);
    const log = uniformLog(6000, {
      gyroZDps: (n) => 20 * w * Math.cos((w * n) / 200),
      accelXG: (n) => {
        const [angle, rate] = [20 * DEG * Math.sin((w * n) / 200), 20 * DEG * w * Math.cos((w * n) / 200)];
        return Math.cos(angle) + rate ** 2 / G;
      },
    });
    expect(testGravity(log).verdict).toBe('along');
  });
});
