import type { MotionLog, UniformLog } from '../base/log.ts';
import { IDENTITY_MOUNT } from '../base/mount.ts';
import { Scratch } from '../base/scratch.ts';
import { buildTimeBase } from '../base/timeBase.ts';
import { DEG_PER_RAD } from '../base/units.ts';
import { estimateBias, removeBias } from '../calibrate/bias.ts';
import { type GravityTest, testGravity } from '../calibrate/gravityTest.ts';
import type { Slope } from '../calibrate/slopeInterval.ts';
import { markClipped, soundParts } from './clippedParts.ts';
import { findClipping } from './clipping.ts';
import { findCalibration } from './findCalibration.ts';
import { measureRest } from './rest.ts';

/**
 * The gravity test of a take. Rates that read 57 times too large hide the gyro's bias, as noise at rest looks like
 * motion; so where nothing else explains the force, a 57 times smaller gyro is tried.
 * @param marked  1 where a sample is clipped
 * @param accelScale  makes the force 1 g at rest: a wrong scale of the accelerometer says nothing of the gyro
 * @param scratch  for rates without their bias
 */
export function measureGravity(
  uniform: UniformLog,
  marked: Uint8Array,
  accelScale: number,
  scratch: Scratch = new Scratch(),
): GravityTest {
  const log = timesForce(uniform, accelScale);
  const test = testOf(log, marked, scratch);
  if (test.verdict !== 'unclear') return test;
  const smaller = testOf(timesRates(log, 1 / DEG_PER_RAD), marked, scratch);
  return smaller.verdict === 'ok' ? asUnit(smaller) : test;
}

/** The gravity test of a log whose sensor nobody has calibrated: its rest is taken for 1 g. */
export function testGravityOf(raw: MotionLog): GravityTest {
  const { uniform } = buildTimeBase(raw);
  const { scale } = findCalibration(measureRest(uniform), null, { mount: IDENTITY_MOUNT });
  const clipped = markClipped(uniform.timeUs, raw, findClipping(raw));
  return measureGravity(uniform, clipped, scale?.accelScale ?? 1);
}

function testOf(log: UniformLog, marked: Uint8Array, scratch: Scratch): GravityTest {
  return testGravity(soundParts(removeBias(log, estimateBias(log), scratch), marked));
}

/** The result for rates 57 times smaller, restated for the rates as they are. */
function asUnit(test: GravityTest): GravityTest {
  const down = (value: number | null): number | null => value && value / DEG_PER_RAD;
  const slope = (one: Slope | null): Slope | null =>
    one && { slope: one.slope / DEG_PER_RAD, low: one.low / DEG_PER_RAD, high: one.high / DEG_PER_RAD };
  const [x, y, z] = test.axes;
  return {
    ...test,
    verdict: 'unit',
    slope: down(test.slope),
    low: down(test.low),
    high: down(test.high),
    axes: [
      { ...x, slope: slope(x.slope) },
      { ...y, slope: slope(y.slope) },
      { ...z, slope: slope(z.slope) },
    ],
  };
}

function timesForce(log: UniformLog, by: number): UniformLog {
  if (by === 1) return log;
  const times = (force: Float64Array): Float64Array => force.map((g) => g * by);
  return { ...log, accelXG: times(log.accelXG), accelYG: times(log.accelYG), accelZG: times(log.accelZG) };
}

function timesRates(log: UniformLog, by: number): UniformLog {
  const times = (rate: Float64Array): Float64Array => rate.map((dps) => dps * by);
  return {
    ...log,
    gyroXDps: times(log.gyroXDps),
    gyroYDps: times(log.gyroYDps),
    gyroZDps: times(log.gyroZDps),
  };
}
