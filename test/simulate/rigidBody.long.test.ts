import { expect, test } from 'vitest';
import { Choreography } from '../../scripts/simulate/choreography.ts';
import { thrust } from '../../scripts/simulate/contact.ts';
import { lyingEight, swing } from '../../scripts/simulate/moves.ts';
import { cruise, minimumJerk, wave } from '../../scripts/simulate/piece.ts';
import { type FineMotion, GRAVITY_MPS2, runRigidBody } from '../../scripts/simulate/rigidBody.ts';
import { leverArmAccel } from '../../scripts/simulate/vectors.ts';

const DEG = 180 / Math.PI;
const STILL_HANDS = { tremorDps: 0, tremorMps2: 0, swayDeg: 0 };

/** A flat plane of swing: gravity lies along z and leaves x and y to the swing. */
function flatSwing(turn: (c: Choreography) => void, leverArmM: number, durationS: number): FineMotion {
  const c = new Choreography(1, STILL_HANDS);
  turn(c);
  return runRigidBody(c.joints, [leverArmM, 0, 0], durationS, 4000);
}

/** A busy minute's worth of everything, in three seconds. */
function busy(leverArmM: readonly [number, number, number], hz = 4000): FineMotion {
  const c = new Choreography(7);
  c.startAt({ heading: 40, tilt: -30, bank: 70, swing: 15, lift: -10, twist: 25 });
  c.takeInHand();
  swing(c, 120, 0.3);
  swing(c, -140, 0.35);
  thrust(c, { driveG: 2, driveS: 0.12, padG: 8 });
  lyingEight(c, { azimuthDeg: 70, elevationDeg: 20, hz: 1.2, durationS: 1.6 });
  c.putDown();
  return runRigidBody(c.finish().joints, leverArmM, c.nowS, hz);
}

// RIG-1, RIG-5 [recomputed]
test.each([
  [1000, 0.2, 6.2124664342],
  [500, 0.2, 1.5531166],
  [1000, 0.1, 3.1062332],
  [1500, 0.15, 10.4835371],
  [2000, 0.2, 24.8498657],
])('a steady turn of %d deg/s at %d m pulls %d g toward the turning point', (dps, r, g) => {
  const motion = flatSwing((c) => c.add('swing', cruise(0, 2, dps, 0.2)), r, 1);
  const i = 4000;
  expect(motion.force.x[i]! / GRAVITY_MPS2).toBeCloseTo(-g, 6);
  expect(motion.force.y[i]!).toBeCloseTo(0, 9);
  expect(motion.force.z[i]! / GRAVITY_MPS2).toBeCloseTo(1, 12);
});

// RIG-3 [recomputed]: alpha r
test('an angular acceleration of 5000 deg/s^2 at 0.2 m pushes 1.7797 g across the blade', () => {
  const durationS = 0.25;
  const peakAt = (3 - Math.sqrt(3)) / 6;
  const deg = (5000 * durationS * durationS) / (10 / Math.sqrt(3));
  const c = new Choreography(1, STILL_HANDS);
  c.add('swing', minimumJerk(-peakAt * durationS, durationS, deg));
  const motion = runRigidBody(c.joints, [0.2, 0, 0], 0.1, 4000);
  expect(motion.angularAccel.z[0]! * DEG).toBeCloseTo(5000, 8);
  expect(motion.force.y[0]! / GRAVITY_MPS2).toBeCloseTo(1.7797405, 6);
});

// RIG-4 [exact decimals]
test('the general vector case comes out in exact decimals', () => {
  const [x, y, z] = leverArmAccel([1, 2, 3], [4, -5, 6], [0.2, -0.1, 0.05]);
  expect(x).toBeCloseTo(-2.3, 12);
  expect(y).toBeCloseTo(2.7, 12);
  expect(z).toBeCloseTo(0.35, 12);
});

// RIG-8 [recomputed]: theta = 60 deg sin(2 pi 1.5 t), at 0.2 m
test('a sinusoidal swing has the published peaks of rate, pull and push', () => {
  const turn = (c: Choreography) => c.add('swing', wave(0, 6, 2, { amplitude: 60, hz: 1.5 }));
  const motion = flatSwing(turn, 0.2, 4);
  const from = 2 * 4000;
  const peak = (column: Float64Array) =>
    column.subarray(from).reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  // on a grid of 0.25 ms the peak may be missed by (w dt)^2 / 8 = 7e-7 of itself
  expect(peak(motion.rate.z) * DEG).toBeCloseTo(565.4866777, 2);
  expect(peak(motion.angularAccel.z) * DEG).toBeCloseTo(5329.586377, 1);
  expect(peak(motion.force.x) / GRAVITY_MPS2).toBeCloseTo(1.9865926, 4);
  expect(peak(motion.force.y) / GRAVITY_MPS2).toBeCloseTo(1.8970562, 4);
});

test.each([
  [0, 0, 0],
  [90, 0, 0],
  [30, -50, 110],
])('at rest, however it lies (%d, %d, %d), the sensor reads 1 g upward', (heading, tilt, bank) => {
  const c = new Choreography(1, STILL_HANDS);
  c.startAt({ heading, tilt, bank });
  const { force, q } = runRigidBody(c.joints, [0.3, 0.02, -0.01], 0.01, 4000);
  const size = Math.hypot(force.x[9]!, force.y[9]!, force.z[9]!);
  expect(size).toBeCloseTo(GRAVITY_MPS2, 12);
  const up = toEarth([q.w[9]!, q.x[9]!, q.y[9]!, q.z[9]!], [force.x[9]!, force.y[9]!, force.z[9]!]);
  expect(up[2]).toBeCloseTo(GRAVITY_MPS2, 12);
});

test('the rates are those with which the orientation turns', () => {
  const motion = busy([0.2, 0, 0]);
  const { q, rate, hz } = motion;
  for (let i = 1; i + 1 < motion.length; i += 7) {
    // the turn from i - 1 to i + 1, halved, in the frame of i: second order in the step
    const before = [q.w[i - 1]!, q.x[i - 1]!, q.y[i - 1]!, q.z[i - 1]!] as const;
    const after = [q.w[i + 1]!, q.x[i + 1]!, q.y[i + 1]!, q.z[i + 1]!] as const;
    const turn = product(conjugate(before), after);
    const sign = turn[0] < 0 ? -1 : 1;
    // rate * 2h = 2 * vector part; the step is under a degree, so the next term is below 1e-4 of it
    expect(sign * turn[1] * hz).toBeCloseTo(rate.x[i]!, 1);
    expect(sign * turn[2] * hz).toBeCloseTo(rate.y[i]!, 1);
    expect(sign * turn[3] * hz).toBeCloseTo(rate.z[i]!, 1);
  }
});

test('the angular accelerations are the derivatives of the rates', () => {
  const { rate, angularAccel, hz, length } = busy([0.2, 0, 0]);
  for (const axis of ['x', 'y', 'z'] as const) {
    for (let i = 1; i + 1 < length; ++i) {
      const difference = ((rate[axis][i + 1]! - rate[axis][i - 1]!) * hz) / 2;
      expect(Math.abs(difference - angularAccel[axis][i]!)).toBeLessThan(0.5);
    }
  }
});

test('specific force, turned to the earth and integrated twice, closes on the path of the sensor', () => {
  const leverArmM = [0.25, 0.02, -0.03] as const;
  const motion = busy(leverArmM, 16000);
  const { q, rate, force, hz, length } = motion;
  const armAt = (i: number) => toEarth([q.w[i]!, q.x[i]!, q.y[i]!, q.z[i]!], leverArmM);
  const spinAt = (i: number) => {
    const [x, y, z] = [rate.x[i]!, rate.y[i]!, rate.z[i]!];
    const [a, b, c] = leverArmM;
    return toEarth([q.w[i]!, q.x[i]!, q.y[i]!, q.z[i]!], [y * c - z * b, z * a - x * c, x * b - y * a]);
  };
  const [place, speed] = [armAt(0), spinAt(0)];
  let previous = earthAccel(0);
  for (let i = 1; i < length; ++i) {
    const accel = earthAccel(i);
    for (let k = 0; k < 3; ++k) {
      const next = speed[k]! + (accel[k]! + previous[k]!) / (2 * hz);
      place[k]! += (speed[k]! + next) / (2 * hz);
      speed[k] = next;
    }
    previous = accel;
  }
  // The hand comes back to where it was, so only the arm has moved. What trapezoids leave comes from the kinks of the
  // half-sine shock: slope 4e4 m/s^3, h^2/12 of it in speed, 1.3e-5 m/s, and 3e-5 m over the two seconds after it.
  for (let k = 0; k < 3; ++k) {
    expect(place[k]).toBeCloseTo(armAt(length - 1)[k]!, 4);
    expect(speed[k]).toBeCloseTo(spinAt(length - 1)[k]!, 3);
  }

  function earthAccel(i: number): [number, number, number] {
    const a = toEarth([q.w[i]!, q.x[i]!, q.y[i]!, q.z[i]!], [force.x[i]!, force.y[i]!, force.z[i]!]);
    return [a[0], a[1], a[2] - GRAVITY_MPS2];
  }
});

type Quat = readonly [number, number, number, number];

function conjugate([w, x, y, z]: Quat): Quat {
  return [w, -x, -y, -z];
}

function product([a, b, c, d]: Quat, [e, f, g, h]: Quat): Quat {
  return [
    a * e - b * f - c * g - d * h,
    a * f + b * e + c * h - d * g,
    a * g - b * h + c * e + d * f,
    a * h + b * g - c * f + d * e,
  ];
}

function toEarth(q: Quat, v: readonly number[]): [number, number, number] {
  const turned = product(product(q, [0, v[0]!, v[1]!, v[2]!]), conjugate(q));
  return [turned[1], turned[2], turned[3]];
}
