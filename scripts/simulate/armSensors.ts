import { seededRandom } from './random.ts';
import type { ChannelModel, SensorModel } from './sensor.ts';

export type ArmSensor = 'ideal' | 'good' | 'poor';

/** How far each fault goes: what is drawn lies between the two, or between the negative and the positive of one. */
interface Faults {
  readonly gyroBiasDps: number;
  readonly gyroDriftDpsPerMin: number;
  readonly gyroWarmUpDps: number;
  readonly gyroScale: number;
  readonly accelBiasG: readonly [number, number];
  readonly accelScale: readonly [number, number];
  readonly crossAxis: number;
  readonly delayMs: number;
  readonly bandwidthHz: number;
  readonly gyroNoise: number;
  readonly accelNoise: number;
}

const FAULTS: Readonly<Record<Exclude<ArmSensor, 'ideal'>, Faults>> = {
  good: {
    gyroBiasDps: 1,
    gyroDriftDpsPerMin: 0.1,
    gyroWarmUpDps: 0,
    gyroScale: 0.003,
    accelBiasG: [0.003, 0.015],
    accelScale: [0.002, 0.005],
    crossAxis: 0.003,
    delayMs: 1,
    bandwidthHz: 90,
    gyroNoise: 0.005,
    accelNoise: 1.5e-4,
  },
  poor: {
    gyroBiasDps: 3,
    gyroDriftDpsPerMin: 0.5,
    gyroWarmUpDps: 0.6,
    gyroScale: 0.01,
    accelBiasG: [0.02, 0.06],
    accelScale: [0.01, 0.03],
    crossAxis: 0.01,
    delayMs: 5,
    bandwidthHz: 42,
    gyroNoise: 0.014,
    accelNoise: 3e-4,
  },
};

/**
 * A sensor with its faults drawn anew for each seed; axes those of the prop. `ideal` has none; `good` is what a calibrated
 * one leaves; `poor` is the worst that a cheap one leaves: 20 to 60 mg of bias, 1 to 3 % of scale on each axis of the
 * accelerometer, 1 % between the axes, 5 ms between the two sensors either way, a gyro that drifts and warms up.
 */
export function armSensor(
  kind: ArmSensor,
  leverArmM: readonly [number, number, number],
  seed: number,
): SensorModel {
  const random = seededRandom(seed);
  const either = (most: number) => most * (2 * random() - 1);
  const sized = ([low, high]: readonly [number, number]) =>
    (random() < 0.5 ? -1 : 1) * (low + (high - low) * random());
  const three = <T>(draw: () => T) => [draw(), draw(), draw()] as const;
  const mount = { tip: '+x', side: '+y' } as const;
  const clean = {
    bias: [0, 0, 0],
    driftPerMin: 0,
    noiseDensity: 0,
    bandwidthHz: null,
    codesPerUnit: null,
  } as const;
  if (kind === 'ideal') return { name: 'ideal sensor', leverArmM, mount, gyro: clean, accel: clean };
  const f = FAULTS[kind];
  const gyro: ChannelModel = {
    bias: three(() => either(f.gyroBiasDps)),
    driftPerMin: either(f.gyroDriftDpsPerMin),
    scaleError: three(() => either(f.gyroScale)),
    crossAxis: either(f.crossAxis),
    ...(f.gyroWarmUpDps === 0 ? {} : { warmUp: { rise: either(f.gyroWarmUpDps), timeS: 20 } }),
    noiseDensity: f.gyroNoise,
    bandwidthHz: f.bandwidthHz,
    codesPerUnit: 16.4,
  };
  const accel: ChannelModel = {
    bias: three(() => sized(f.accelBiasG)),
    driftPerMin: 0,
    scaleError: three(() => sized(f.accelScale)),
    crossAxis: either(f.crossAxis),
    delayMs: random() < 0.5 ? -f.delayMs : f.delayMs,
    noiseDensity: f.accelNoise,
    bandwidthHz: f.bandwidthHz,
    codesPerUnit: 2048,
  };
  return { name: `${kind} sensor`, leverArmM, mount, gyro, accel };
}
