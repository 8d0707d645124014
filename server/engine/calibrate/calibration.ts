import { IDENTITY_MOUNT, isIdentityMount, type Mount } from '../base/mount.ts';
import type { BiasTrack } from './bias.ts';

/** How a sensor's readings become a prop's motion. */
export interface Calibration {
  readonly mount: Mount;
  /** Somebody has said so, or a simulation knows it; else x toward the tip is taken for want of better. */
  readonly isMountStated?: boolean;
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

/** Whether anybody has said which way the blade points. Older takes do not tell: there only another mount than the usual one was set. */
export function isMountStated({ mount, isMountStated: isSaid = false }: MountStated): boolean {
  return isSaid || !isIdentityMount(mount);
}

/** The same calibration with the mount as somebody states it. */
export function withMount<Own extends MountStated>(calibration: Own, mount: Mount): Own {
  return { ...calibration, mount, isMountStated: true };
}

/** The same calibration with the usual mount, which nobody has stated: whoever tried one out did not come to know it. */
export function withoutMount<Own extends MountStated>(calibration: Own): Own {
  return { ...calibration, mount: IDENTITY_MOUNT, isMountStated: false };
}

type MountStated = Pick<Calibration, 'mount' | 'isMountStated'>;
