import { IDENTITY_MOUNT, type Mount } from '../base/mount.ts';
import type { BiasTrack } from './bias.ts';

/** How a sensor's readings become a prop's motion. */
export interface Calibration {
  readonly mount: Mount;
  /** 'auto' estimates the gyro's bias from the take's still stretches. */
  readonly bias: BiasTrack | 'auto';
  /** From the turning point to the sensor, along the blade. 0 leaves the swing's pull in the thrust. */
  readonly leverArmM: number;
  /** From the turning point to the tip. */
  readonly bladeLengthM: number;
  /** Factor on the accelerometer's readings. */
  readonly accelScale: number;
}

export const DEFAULT_CALIBRATION: Calibration = Object.freeze({
  mount: IDENTITY_MOUNT,
  bias: 'auto',
  leverArmM: 0,
  bladeLengthM: 0.85,
  accelScale: 1,
});
