import type { SensorModel } from '../sensor.ts';

const MG = 1e-3;

/** Sensors as a grip may hold them: invented, with figures such as data sheets of this class give. */
export const DEVICES = {
  /** +-2000 deg/s and +-16 g at 16.4 and 2048 codes per unit. */
  slim: {
    gyro: {
      bias: [1.4, -0.8, 0.6],
      driftPerMin: 0.08,
      noiseDensity: 0.006,
      bandwidthHz: 90,
      codesPerUnit: 16.4,
    },
    accel: {
      bias: [12 * MG, -8 * MG, 15 * MG],
      driftPerMin: 0,
      noiseDensity: 2e-4,
      bandwidthHz: 90,
      codesPerUnit: 2048,
    },
  },
  /** +-1000 deg/s and +-16 g at 32.8 and 2048 codes per unit: too narrow for the fastest loops. */
  narrow: {
    gyro: {
      bias: [-2.1, 0.9, 1.7],
      driftPerMin: -0.1,
      noiseDensity: 0.006,
      bandwidthHz: 180,
      codesPerUnit: 32.8,
    },
    accel: {
      bias: [-20 * MG, 6 * MG, 9 * MG],
      driftPerMin: 0,
      noiseDensity: 1.8e-4,
      bandwidthHz: 200,
      codesPerUnit: 2048,
    },
  },
  /** 0.07 deg/s and 0.488 mg a code: +-2293 deg/s and +-16 g. */
  wide: {
    gyro: {
      bias: [0.5, 1.1, -0.9],
      driftPerMin: 0.05,
      noiseDensity: 0.004,
      bandwidthHz: 330,
      codesPerUnit: 1 / 0.07,
    },
    accel: {
      bias: [5 * MG, 11 * MG, -14 * MG],
      driftPerMin: 0,
      noiseDensity: 1.1e-4,
      bandwidthHz: 400,
      codesPerUnit: 1 / 0.000488,
    },
  },
  /** +-2000 deg/s and +-8 g, slow and noisy, as a watch-sized board has it. */
  small: {
    gyro: {
      bias: [3.2, -1.9, -2.6],
      driftPerMin: 0.3,
      noiseDensity: 0.014,
      bandwidthHz: 42,
      codesPerUnit: 16.4,
    },
    accel: {
      bias: [25 * MG, -18 * MG, 30 * MG],
      driftPerMin: 0,
      noiseDensity: 3e-4,
      bandwidthHz: 42,
      codesPerUnit: 4096,
    },
  },
} as const satisfies Record<string, Pick<SensorModel, 'gyro' | 'accel'>>;
