import { describe, expect, test } from 'vitest';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import { fitLeverArm } from '../../../server/engine/calibrate/leverArm.ts';
import { computeMotion } from '../../../server/engine/motion/motion.ts';
import { rodPendulum } from '../../reference/rodPendulum.ts';
import { seededNormal } from '../../seeded.ts';
import { uniformLog } from '../uniformLogs.ts';

// What anybody can try with a real blade on a nail. The figures are those of a uniform rod, as any text on dynamics has
// them [recomputed]; the amplitude factors are 2 K / π, Abramowitz and Stegun 17.3.
const G = 9.80665;
const LENGTH_M = 0.9;
const DEG = 180 / Math.PI;

/** Time of the first fall to the bottom is a quarter of the period. */
function periodS(startDeg: number): number {
  const stepS = 1e-4;
  const { angle } = rodPendulum(LENGTH_M, startDeg / DEG, stepS, 20000);
  const i = angle.findIndex((a) => a <= 0);
  return 4 * stepS * (i - 1 + angle[i - 1]! / (angle[i - 1]! - angle[i]!));
}

describe('the rod that the tests swing is the one of the books', () => {
  test.each([
    [0.1, 1],
    [30, 1.0174087976],
    [60, 1.0731820071],
    [90, 1.180340599],
    [120, 1.3728805006],
  ])('from %f degrees its period is 1.554157955 s times %f', (startDeg, factor) => {
    expect(periodS(startDeg) / 1.554157955).toBeCloseTo(factor, 5);
  });

  test('dropped from level, it passes the bottom at 327.583744 deg/s', () => {
    const { rate } = rodPendulum(LENGTH_M, Math.PI / 2, 1e-4, 6000);
    expect(Math.max(...rate.map(Math.abs)) * DEG).toBeCloseTo(327.583744, 3);
  });
});

/** The rod swings about the sensor's z with x toward the tip; the sensor sits at r along it. */
function hungBlade(armM: number, startDeg: number, rateHz: number, noise: number) {
  const { angle, rate } = rodPendulum(LENGTH_M, startDeg / DEG, 1 / rateHz, 20 * rateHz);
  const normal = seededNormal(17);
  const alpha = angle.map((a) => ((-3 * G) / (2 * LENGTH_M)) * Math.sin(a));
  const n = (value: number, size: number) => value + noise * size * normal();
  return uniformLog(
    angle.length,
    {
      gyroXDps: () => n(0, 0.1),
      gyroYDps: () => n(0, 0.1),
      gyroZDps: (i) => n(rate[i]! * DEG, 0.1),
      accelXG: (i) => n(-Math.cos(angle[i]!) - (armM * rate[i]! ** 2) / G, 0.005),
      accelYG: (i) => n(Math.sin(angle[i]!) + (armM * alpha[i]!) / G, 0.005),
      accelZG: () => n(0, 0.005),
    },
    { rateHz },
  );
}

describe('a blade dropped from level about a nail at its end, the sensor 0.2 m below', () => {
  const log = hungBlade(0.2, 90, 1000, 0);

  test('reads g (1 - 1.5 r / L) across at release and g (1 + 3 r / L) along at the bottom', () => {
    expect(log.accelYG[0]).toBeCloseTo(0.6666667, 6);
    expect(Math.min(...log.accelXG)).toBeCloseTo(-1.6666667, 5);
  });

  test('has no thrust but what gravity’s estimate leaves, once the arm is stated', () => {
    const known = { ...DEFAULT_CALIBRATION, bias: { knots: [] } };
    const largest = (leverArmM: number) => {
      const { thrustUnsmoothedG } = computeMotion(log, { ...known, leverArmM });
      return Math.max(...thrustUnsmoothedG.subarray(2000).map(Math.abs));
    };
    expect(largest(0.2)).toBeLessThan(0.05);
    expect(largest(0)).toBeGreaterThan(0.5);
  });
});

describe('the lever arm of a blade that swings on a nail', () => {
  test.each([
    [0.1, 60, 100],
    [0.2, 90, 100],
    [0.35, 120, 200],
    [0.6, 90, 1000],
  ])('%f m is found within a hundredth from swings of %i degrees at %i Hz', (armM, startDeg, rateHz) => {
    const fit = fitLeverArm(hungBlade(armM, startDeg, rateHz, 1))!;
    // one plane tells nothing of the place along the nail, and so little of the length of a slanted arm
    expect(Math.abs(fit.armM[0] / armM - 1)).toBeLessThan(0.01);
    expect(Math.abs(fit.armM[1])).toBeLessThan(0.01 * armM + 0.001);
    expect(fit.lowM).toBeLessThan(armM);
    expect(fit.highM).toBeGreaterThan(armM);
  });
});
