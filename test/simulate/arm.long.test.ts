import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { Arm } from '../../scripts/simulate/arm.ts';
import { ARM_KINDS, armTake, rowTruth, trueGyroBiasDps } from '../../scripts/simulate/armTakes.ts';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { swing } from '../../scripts/simulate/moves.ts';
import { minimumJerk, type Piece } from '../../scripts/simulate/piece.ts';
import { GRAVITY_MPS2, runRigidBody } from '../../scripts/simulate/rigidBody.ts';
import { idealSensor } from '../../scripts/simulate/sensor.ts';
import { simulateTake } from '../../scripts/simulate/take.ts';

const STILL_HANDS = { tremorDps: 0, tremorMps2: 0, swayDeg: 0 };
const LENGTHS = { foreM: 0.27, upperM: 0.3 };
const RAD = Math.PI / 180;

/**
 * Shoulder, elbow and wrist turn in the level plane, the prop slips: where its sensor is, written out link by link from
 * the angles alone and differentiated twice by differences, against the force that the simulation gives.
 */
test('the force is that of a sensor at the end of three links, by second differences of its place', () => {
  const c = new Choreography(1, STILL_HANDS);
  const arm = new Arm(c, LENGTHS, { upperDeg: -70, foreDeg: -20 });
  c.startAt({ swing: 40 });
  const turn = { shoulderDeg: 20, elbowDeg: 45, wristDeg: 70, durationS: 0.3, lagS: 0.04 };
  arm.turn(turn);
  c.add('slip', minimumJerk(0.15, 0.1, 0.02));
  const hz = 4000;
  const motion = runRigidBody(c.joints, [0.15, 0, 0], c.nowS, hz);

  const eased = (tS: number, startS: number, deg: number) => {
    const u = Math.min(1, Math.max(0, (tS - startS) / 0.3));
    return deg * u ** 3 * (10 - 15 * u + 6 * u * u) * RAD;
  };
  const place = (tS: number): [number, number] => {
    const [shoulder, elbow, wrist] = [eased(tS, 0, 20), eased(tS, 0.04, 45), eased(tS, 0.08, 70)];
    const upper = -70 * RAD + shoulder;
    const fore = -20 * RAD + shoulder + elbow;
    const blade = 40 * RAD + shoulder + elbow + wrist;
    const u = Math.min(1, Math.max(0, (tS - 0.15) / 0.1));
    const r = 0.15 + 0.02 * u ** 3 * (10 - 15 * u + 6 * u * u);
    return [
      0.3 * Math.cos(upper) + 0.27 * Math.cos(fore) + r * Math.cos(blade),
      0.3 * Math.sin(upper) + 0.27 * Math.sin(fore) + r * Math.sin(blade),
    ];
  };
  const h = 1e-4;
  for (let i = 10; i + 10 < motion.length; i += 3) {
    const tS = i / hz;
    const [before, now, after] = [place(tS - h), place(tS), place(tS + h)];
    const ax = (before[0] - 2 * now[0] + after[0]) / (h * h);
    const ay = (before[1] - 2 * now[1] + after[1]) / (h * h);
    const blade = 40 * RAD + eased(tS, 0, 20) + eased(tS, 0.04, 45) + eased(tS, 0.08, 70);
    // h^2/12 of a fourth derivative below 1e6 m/s^4, and rounding of 1e-16/h^2
    expect(motion.force.x[i]!).toBeCloseTo(Math.cos(blade) * ax + Math.sin(blade) * ay, 1);
    expect(motion.force.y[i]!).toBeCloseTo(Math.cos(blade) * ay - Math.sin(blade) * ax, 1);
    expect(motion.force.z[i]!).toBeCloseTo(GRAVITY_MPS2, 9);
  }
});

test('a slip pushes a swinging sensor sideways by twice its speed times the rate', () => {
  const c = new Choreography(1, STILL_HANDS);
  const steady = (rate: number): Piece => ({
    startS: 0,
    endS: 1,
    after: rate,
    add(tS, out) {
      out[0]! += rate * tS;
      out[1]! += rate;
    },
  });
  c.add('swing', steady(300));
  c.add('slip', steady(0.1));
  const { force } = runRigidBody(c.joints, [0.2, 0, 0], 0.5, 1000);
  const w = 300 * RAD;
  expect(force.x[250]!).toBeCloseTo(-w * w * 0.225, 9);
  expect(force.y[250]!).toBeCloseTo(2 * w * 0.1, 9);
});

describe('takes of an arm', () => {
  const hash = (log: ReturnType<typeof armTake>['log']) => {
    const sum = createHash('sha256');
    for (const column of Object.values(log)) sum.update(new Uint8Array(column.buffer));
    return sum.digest('hex');
  };

  test('are the same for the same seed, and others for another', () => {
    const options = {
      kind: 'slippingGrip',
      sensor: 'poor',
      seed: 4,
      sets: 1,
      thrusts: 2,
      blows: true,
    } as const;
    expect(hash(armTake(options).log)).toBe(hash(armTake(options).log));
    expect(hash(armTake({ ...options, seed: 5 }).log)).not.toBe(hash(armTake(options).log));
  });

  test.each(ARM_KINDS)('of kind %s read, with an ideal sensor, what is true of them', (kind) => {
    const take = armTake({ kind, sensor: 'ideal', seed: 2, sets: 1 });
    const truth = rowTruth(take);
    const r = take.sensor.leverArmM;
    let swung = 0;
    for (let i = 0; i < take.log.timeUs.length; ++i) {
      const up = Math.hypot(truth.gravityXG[i]!, truth.gravityYG[i]!, truth.gravityZG[i]!);
      expect(up).toBeCloseTo(1, 9);
      const [wx, wy, wz] = [truth.rateXDps[i]! * RAD, truth.rateYDps[i]! * RAD, truth.rateZDps[i]! * RAD];
      // the pull at the arm: w (w . r) - r w^2
      const along = wx * (wx * r[0] + wy * r[1] + wz * r[2]) - r[0] * (wx * wx + wy * wy + wz * wz);
      const thrust = take.log.accelXG![i]! - truth.gravityXG[i]! - along / GRAVITY_MPS2;
      // what is left is the turning's change at 4 mm beside the axis, and the slip
      const slack = kind === 'slippingGrip' ? 3 : 0.15;
      expect(Math.abs(thrust - truth.handXG[i]!)).toBeLessThan(slack);
      swung = Math.max(swung, Math.hypot(wy, wz) / RAD);
    }
    expect(swung).toBeGreaterThan(250);
  });

  test('with wrist and elbow together push the hand along the blade by 1.5 to 4 g; about one point by next to nothing', () => {
    const most = (kind: 'wristElbow' | 'threeJoints' | 'wrist' | 'toAndFro') =>
      Math.max(...rowTruth(armTake({ kind, sensor: 'ideal', seed: 3, sets: 1 })).handXG);
    expect(most('wristElbow')).toBeGreaterThan(1.5);
    expect(most('threeJoints')).toBeGreaterThan(1.5);
    expect(most('threeJoints')).toBeLessThan(5);
    expect(most('wrist')).toBeLessThan(0.2);
    expect(most('toAndFro')).toBeLessThan(0.2);
  });

  test('on the stand the poor sensor reads its bias, drift and warming up, and a gravity off by scale and bias', () => {
    const take = armTake({ kind: 'wrist', sensor: 'poor', seed: 6, sets: 1 });
    const { bias, scaleError } = take.sensor.accel;
    for (const size of bias) {
      expect(Math.abs(size)).toBeGreaterThanOrEqual(0.02);
      expect(Math.abs(size)).toBeLessThanOrEqual(0.06);
    }
    for (const size of scaleError!) expect(Math.abs(size)).toBeGreaterThanOrEqual(0.01);
    const truth = rowTruth(take);
    const rest = [...take.log.timeUs.keys()].filter(
      (i) => take.log.timeUs[i]! > 5e5 && take.log.timeUs[i]! < 2.2e6,
    );
    const mean = (column: Float64Array) => rest.reduce((sum, i) => sum + column[i]!, 0) / rest.length;
    // 170 samples of 0.14 deg/s, steps of 0.06
    expect(Math.abs(mean(take.log.gyroXDps) - trueGyroBiasDps(take, 1.35)[0])).toBeLessThan(0.06);
    const expected = mean(truth.gravityXG) * (1 + scaleError![0]) + bias[0];
    const beside = Math.abs(take.sensor.accel.crossAxis!) * 2;
    expect(Math.abs(mean(take.log.accelXG!) - expected)).toBeLessThan(beside + 0.002);
  });
});

test('a channel with a delay reads so many milliseconds later what it would have read without', () => {
  const c = new Choreography(1, STILL_HANDS);
  swing(c, 120, 0.3);
  const choreography = c.finish();
  const { gyro, accel, ...sensor } = idealSensor([0.2, 0, 0]);
  const read = (delayMs: number) =>
    simulateTake({
      rateHz: 1000,
      seed: 1,
      choreography,
      sensor: { ...sensor, gyro, accel: { ...accel, delayMs } },
    }).log;
  const [now, later] = [read(0), read(5)];
  expect(later.gyroZDps).toEqual(now.gyroZDps);
  for (let i = 0; i + 5 < now.timeUs.length; ++i)
    expect(later.accelXG![i]).toBeCloseTo(now.accelXG![i + 5]!, 12);
  expect(Math.abs(later.accelXG![100]! - now.accelXG![100]!)).toBeGreaterThan(0.1);
});

test('scale and cross-axis errors are shares of what each axis should read', () => {
  const c = new Choreography(1, STILL_HANDS);
  c.startAt({ tilt: 30 });
  c.wait(0.1);
  const { gyro, accel, ...sensor } = idealSensor([0, 0, 0]);
  const faulty = { ...accel, scaleError: [0.02, -0.01, 0.03] as const, crossAxis: 0.01 };
  const { log } = simulateTake({
    rateHz: 100,
    seed: 1,
    choreography: c.finish(),
    sensor: { ...sensor, gyro, accel: faulty },
  });
  // the blade 30 degrees down: gravity -sin 30 along it, cos 30 across
  const [x, y, z] = [-0.5, 0, Math.sqrt(3) / 2];
  expect(log.accelXG![5]).toBeCloseTo(1.02 * x + 0.01 * y + 0.01 * z, 9);
  expect(log.accelYG![5]).toBeCloseTo(0.01 * x + 0.99 * y + 0.01 * z, 9);
  expect(log.accelZG![5]).toBeCloseTo(0.01 * x + 0.01 * y + 1.03 * z, 9);
});
