import type { Span } from '../base/log.ts';

/** A stretch in which the sensor lay still, with the means of its channels. */
export interface StillStretch extends Span {
  readonly gyroXDps: number;
  readonly gyroYDps: number;
  readonly gyroZDps: number;
  readonly accelXG: number;
  readonly accelYG: number;
  readonly accelZG: number;
  readonly samples: number;
}
