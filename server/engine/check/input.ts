import type { MotionLog, UniformLog } from '../base/log.ts';
import type { Mount } from '../base/mount.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import type { SensedMotion } from '../motion/motion.ts';

/** Facts from reading the file; a log's report has all of them. */
export interface ReadFacts {
  /** Rows that became samples. */
  readonly rows: number;
  /** Rows left out because they repeat the stamp of the row before. */
  readonly duplicates: number;
  /** Rows whose stamp lies before that of the row above. */
  readonly backwards: number;
  readonly badRowCount: number;
  /** Rows of zeros alone, left out; takes read by older versions don't say. */
  readonly zeroRows?: number;
  /** Why rows have even times instead of their stamps: these came in bunches, are cut to a grid, or the user said so. */
  readonly evened?: 'bunches' | 'grid' | 'stated' | null;
  readonly columns: readonly { readonly role: string; readonly unit: string }[];
}

export interface CheckInput {
  /** As read, before it was put on its grid; sensor frame. */
  readonly raw: MotionLog;
  /** As long as `raw`: 1 where reading found a channel at its end. */
  readonly saturated: Uint8Array;
  /** The same log on its grid. */
  readonly uniform: UniformLog;
  readonly facts: ReadFacts;
  /** The motion of `uniform` under `calibration`, or under the default one where there is none. */
  readonly motion: SensedMotion;
  /** null where nobody has set one: then what the take shows of its sensor stands on its own. */
  readonly calibration: Calibration | null;
  /** A mount that somebody stated where no calibration is set. */
  readonly mount?: Mount | null;
}

export const CHANNELS = [
  { key: 'gyroXDps', name: 'gyro x', kind: 'gyro' },
  { key: 'gyroYDps', name: 'gyro y', kind: 'gyro' },
  { key: 'gyroZDps', name: 'gyro z', kind: 'gyro' },
  { key: 'accelXG', name: 'accelerometer x', kind: 'accel' },
  { key: 'accelYG', name: 'accelerometer y', kind: 'accel' },
  { key: 'accelZG', name: 'accelerometer z', kind: 'accel' },
] as const;

export type ChannelKey = (typeof CHANNELS)[number]['key'];
