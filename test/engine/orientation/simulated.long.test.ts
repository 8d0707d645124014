import { describe, expect, test } from 'vitest';
import { Choreography } from '../../../scripts/simulate/choreography.ts';
import { thrust } from '../../../scripts/simulate/contact.ts';
import { loopingEight, lyingEight, onStand, reversals, swing } from '../../../scripts/simulate/moves.ts';
import { idealSensor, type SensorModel } from '../../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake } from '../../../scripts/simulate/take.ts';
import { DEG_PER_RAD } from '../../../server/engine/base/units.ts';
import { estimateBias, removeBias } from '../../../server/engine/calibrate/bias.ts';
import { OrientationFilter } from '../../../server/engine/orientation/gravityFilter.ts';
import type { Vector } from '../../reference/rotation.ts';

/** A common part: bias, drift, noise, steps and bandwidth; the accelerometer trimmed, its range wide enough. */
function sensor(leverArmM: number): SensorModel {
  return {
    ...idealSensor([leverArmM, 0, 0]),
    gyro: { bias: [1, -2, 0.5], driftPerMin: 0.2, noiseDensity: 0.01, bandwidthHz: 90, codesPerUnit: 16.4 },
    accel: { bias: [0, 0, 0], driftPerMin: 0, noiseDensity: 2e-4, bandwidthHz: 150, codesPerUnit: 1024 },
  };
}

const MOVES: Readonly<Record<string, (c: Choreography) => void>> = {
  'single swings of 120°, up to 1100 deg/s': (c) => {
    for (let k = 0; k < 8; ++k) {
      swing(c, k % 2 === 0 ? 120 : -120, c.between(0.2, 0.35));
      c.wait(0.4);
    }
  },
  'a spin that turns back every 0.28 s': (c) => {
    reversals(c, 130, 0.28, 30);
  },
  'whole loops at 720 deg/s': (c) => loopingEight(c, { dps: 720, durationS: 10 }),
  'a lying figure-eight': (c) => {
    lyingEight(c, { azimuthDeg: 70, elevationDeg: 25, hz: 1.2, durationS: 10 });
  },
  'thrusts into a pad': (c) => {
    for (let k = 0; k < 4; ++k) thrust(c, { driveG: 2.2, driveS: 0.11, padG: 7 });
  },
};

function take(move: (c: Choreography) => void, leverArmM: number): SimulatedTake {
  const c = new Choreography(7);
  c.startAt({ heading: 20, tilt: -20, bank: 30 });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  move(c);
  c.wait(0.5);
  return simulateTake({ rateHz: 200, sensor: sensor(leverArmM), choreography: c.finish(), seed: 7 });
}

/** Angle between up as estimated and as it is, root mean square over the take. */
function errorDeg({ log, fine }: SimulatedTake, statedArmM: number): number {
  const uniform = { ...log, rateHz: 200, stepUs: 5000, segments: [{ start: 0, end: log.timeUs.length }] };
  const marked = { ...uniform, saturated: new Uint8Array(log.timeUs.length) };
  const clean = removeBias(marked, estimateBias(marked));
  const filter = new OrientationFilter(200, statedArmM);
  let squares = 0;
  for (let i = 0; i < log.timeUs.length; ++i) {
    const [gx, gy, gz] = [clean.gyroXDps[i]!, clean.gyroYDps[i]!, clean.gyroZDps[i]!];
    filter.step(gx, gy, gz, log.accelXG[i]!, log.accelYG[i]!, log.accelZG[i]!);
    const k = Math.round((log.timeUs[i]! / 1e6) * fine.hz);
    const [x, y, z] = upInBody(fine, k);
    squares += Math.acos(Math.min(1, x * filter.upX + y * filter.upY + z * filter.upZ)) ** 2;
  }
  return Math.sqrt(squares / log.timeUs.length) * DEG_PER_RAD;
}

/** Earth's z in the body frame: the last row of the rotation matrix. */
function upInBody({ q }: SimulatedTake['fine'], k: number): Vector {
  const [w, x, y, z] = [q.w[k]!, q.x[k]!, q.y[k]!, q.z[k]!];
  return [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)];
}

describe.each(Object.entries(MOVES))('%s', (_, move) => {
  test.each([0.1, 0.35])(
    'sensor at %d m: up is right within 1.5° with the arm stated, within 2° without',
    (leverArmM) => {
      const seen = take(move, leverArmM);
      // The gyro's own low-pass of 90 Hz comes 2.5 ms late: 2° at 800 deg/s. That is most of what is left.
      expect(errorDeg(seen, leverArmM)).toBeLessThan(1.5);
      expect(errorDeg(seen, 0)).toBeLessThan(2);
    },
  );
});

test('over 60 s of spinning, some 100 turns, the total turn is right within 0.1 %', () => {
  const c = new Choreography(3);
  onStand(c, 2);
  c.takeInHand();
  loopingEight(c, { dps: 600, durationS: 60 });
  c.wait(1);
  const { log, fine } = simulateTake({ rateHz: 200, sensor: sensor(0.2), choreography: c.finish(), seed: 3 });
  const uniform = { ...log, rateHz: 200, stepUs: 5000, segments: [{ start: 0, end: log.timeUs.length }] };
  const marked = { ...uniform, saturated: new Uint8Array(log.timeUs.length) };
  const clean = removeBias(marked, estimateBias(marked));
  const filter = new OrientationFilter(200, 0.2);
  let [seenDeg, trueDeg] = [0, 0];
  let last = Float64Array.of(1, 0, 0, 0);
  for (let i = 0; i < log.timeUs.length; ++i) {
    const [gx, gy, gz] = [clean.gyroXDps[i]!, clean.gyroYDps[i]!, clean.gyroZDps[i]!];
    filter.step(gx, gy, gz, log.accelXG[i]!, log.accelYG[i]!, log.accelZG[i]!);
    // twenty steps a second: long enough for noise not to add up, short enough never to reach half a turn
    if (i % 10 !== 0) continue;
    const now = Float64Array.from(filter.q);
    if (i > 0) {
      seenDeg += turnDeg(last, now);
      trueDeg += turnDeg(attitude(fine, i - 10), attitude(fine, i));
    }
    last = now;
  }
  expect(trueDeg).toBeGreaterThan(35_000);
  expect(Math.abs(seenDeg / trueDeg - 1)).toBeLessThan(0.001);
});

function attitude({ q, hz }: SimulatedTake['fine'], sample: number): Float64Array {
  const k = Math.round((sample / 200) * hz);
  return Float64Array.of(q.w[k]!, q.x[k]!, q.y[k]!, q.z[k]!);
}

function turnDeg(a: Float64Array, b: Float64Array): number {
  const dot = Math.abs(a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]! + a[3]! * b[3]!);
  return 2 * Math.acos(Math.min(1, dot)) * DEG_PER_RAD;
}
