import { type Choreographed, Choreography } from '../../../scripts/simulate/choreography.ts';
import { DEVICES } from '../../../scripts/simulate/demo/devices.ts';
import { lyingEight, onStand, swing } from '../../../scripts/simulate/moves.ts';
import { GRAVITY_MPS2, runRigidBody } from '../../../scripts/simulate/rigidBody.ts';
import { type ChannelModel, readAxis, type SensorModel } from '../../../scripts/simulate/sensor.ts';
import { type SimulatedTake, simulateTake } from '../../../scripts/simulate/take.ts';
import type { MotionLog, UniformLog } from '../../../server/engine/base/log.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { estimateBias, removeBias } from '../../../server/engine/calibrate/bias.ts';

export interface SwungPlan {
  readonly seed: number;
  readonly rateHz: number;
  readonly device: keyof typeof DEVICES;
  readonly mount?: SensorModel['mount'];
  readonly swings?: number;
  /** How far the hand goes along with each swing, out and back. */
  readonly alongM?: number;
}

/**
 * Two seconds on the stand, then swings about the turning point, the blade turned about itself between them so that they
 * go all ways; the hand trembles, the sensor has noise, bias, drift and bandwidth but no ends to its range.
 */
export function swungTake(plan: SwungPlan): SimulatedTake {
  const { seed, rateHz, device } = plan;
  const { choreography, leverArmM } = plannedSwings(plan);
  const { gyro, accel } = DEVICES[device];
  const sensor: SensorModel = {
    name: device,
    leverArmM,
    mount: plan.mount ?? { tip: '+x', side: '+y' },
    gyro: { ...gyro, codesPerUnit: null },
    accel: { ...accel, codesPerUnit: null },
  };
  return simulateTake({ rateHz, seed, choreography, sensor });
}

function plannedSwings({ seed, swings = 10, alongM = 0 }: SwungPlan): {
  choreography: Choreographed;
  leverArmM: readonly [number, number, number];
} {
  const c = new Choreography(seed);
  const leverArmM = [c.between(0.1, 0.6), c.between(-0.01, 0.01), c.between(-0.01, 0.01)] as const;
  c.startAt({ heading: c.between(-180, 180), tilt: c.between(-60, 60), bank: c.between(-90, 90) });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  for (let s = 0; s < swings; ++s) {
    const durationS = c.between(0.25, 0.5);
    const deg = (c.between(400, 1000) * durationS) / 1.875;
    swing(c, s % 2 === 0 ? deg : -deg, durationS, alongM);
    c.wait(c.between(0.2, 0.5));
    if (s % 3 === 2) c.moveTo({ twist: c.between(-80, 80), bank: c.between(-60, 60) }, 0.8);
  }
  c.wait(1);
  return { choreography: c.finish(), leverArmM };
}

/**
 * The same swings, read at the log's own rate at once, by a sensor of noise and bias but without bandwidth or drift: many
 * such takes cost little.
 */
export function plainSwings(plan: SwungPlan): {
  log: UniformLog;
  leverArmM: readonly [number, number, number];
} {
  return readPlainly(plannedSwings(plan), plan);
}

/** A lying figure-eight of 12 s, whose hand goes 30 mm to either side in step with it; read as `plainSwings` are. */
export function plainEight(plan: SwungPlan): ReturnType<typeof plainSwings> {
  const c = new Choreography(plan.seed);
  const leverArmM = [c.between(0.15, 0.5), c.between(-0.005, 0.005), c.between(-0.005, 0.005)] as const;
  c.startAt({ heading: c.between(-180, 180), tilt: c.between(-30, 30), bank: c.between(-60, 60) });
  onStand(c, 2);
  c.takeInHand();
  c.wait(1);
  const [azimuthDeg, elevationDeg] = [c.between(50, 80), c.between(15, 30)];
  lyingEight(c, { azimuthDeg, elevationDeg, hz: c.between(0.8, 1.4), durationS: 12 });
  c.wait(1);
  return readPlainly({ choreography: c.finish(), leverArmM }, plan);
}

function readPlainly(
  { choreography, leverArmM }: ReturnType<typeof plannedSwings>,
  plan: SwungPlan,
): ReturnType<typeof plainSwings> {
  const { rate, force } = runRigidBody(choreography.joints, leverArmM, choreography.durationS, plan.rateHz);
  const { gyro, accel } = DEVICES[plan.device];
  const read = (values: Float64Array, unit: number, model: ChannelModel, axis: 0 | 1 | 2) => {
    const noise = { ...model, driftPerMin: 0, codesPerUnit: null };
    return readAxis(
      values.map((value) => value * unit),
      axis,
      noise,
      plan.rateHz,
      plan.seed * 7 + axis,
    );
  };
  const columns = {
    gyroXDps: read(rate.x, 180 / Math.PI, gyro, 0),
    gyroYDps: read(rate.y, 180 / Math.PI, gyro, 1),
    gyroZDps: read(rate.z, 180 / Math.PI, gyro, 2),
    accelXG: read(force.x, 1 / GRAVITY_MPS2, accel, 0),
    accelYG: read(force.y, 1 / GRAVITY_MPS2, accel, 1),
    accelZG: read(force.z, 1 / GRAVITY_MPS2, accel, 2),
  };
  const timeUs = Float64Array.from(rate.x, (_, i) => Math.round((i * 1e6) / plan.rateHz));
  return { log: withoutBias({ timeUs, ...columns }), leverArmM };
}

/** The take on its grid, the gyro's bias removed. */
export function unbiased(take: SimulatedTake): UniformLog {
  return withoutBias(take.log);
}

function withoutBias(log: MotionLog): UniformLog {
  const { uniform } = buildTimeBase(log);
  return removeBias(uniform, estimateBias(uniform));
}

/** Angle between two vectors, in degrees. */
export function angleDeg(a: readonly number[], b: readonly number[]): number {
  const cross = [a[1]! * b[2]! - a[2]! * b[1]!, a[2]! * b[0]! - a[0]! * b[2]!, a[0]! * b[1]! - a[1]! * b[0]!];
  const dot = a[0]! * b[0]! + a[1]! * b[1]! + a[2]! * b[2]!;
  return (Math.atan2(Math.hypot(...cross), dot) * 180) / Math.PI;
}
