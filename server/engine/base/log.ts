/**
 * The shapes that every stage shares. Frames: the *sensor frame* is the log's own; the *prop frame* has x along
 * the blade toward the tip, y and z across it, right-handed. Times are whole microseconds from the first sample.
 */

export interface RateColumns {
  readonly gyroXDps: Float64Array;
  readonly gyroYDps: Float64Array;
  readonly gyroZDps: Float64Array;
}

/** Specific force. */
export interface ForceColumns {
  readonly accelXG: Float64Array;
  readonly accelYG: Float64Array;
  readonly accelZG: Float64Array;
}

/** Rates and specific force, one Float64Array a column, all of one length. */
export type MotionColumns = RateColumns & ForceColumns;

export const RATE_COLUMNS = [
  'gyroXDps',
  'gyroYDps',
  'gyroZDps',
] as const satisfies readonly (keyof RateColumns)[];
export const FORCE_COLUMNS = [
  'accelXG',
  'accelYG',
  'accelZG',
] as const satisfies readonly (keyof ForceColumns)[];
export const MOTION_COLUMNS = [...RATE_COLUMNS, ...FORCE_COLUMNS] as const;

/** A log as read: engine units, sensor frame, `timeUs` strictly increasing whole microseconds with `timeUs[0] = 0`. */
export interface MotionLog extends MotionColumns {
  readonly timeUs: Float64Array;
}

/** Sample indices of a gap-free stretch; `end` is exclusive. */
export interface Segment {
  readonly start: number;
  readonly end: number;
}

/**
 * A log on its uniform grid: within a segment, every step is within 1 % of `stepUs` and half a microsecond. Such small
 * differences add up: over an hour `timeUs` and counted steps may differ by seconds.
 */
export interface UniformLog extends MotionLog {
  readonly rateHz: number;
  /** Nominal step, 1e6 / rateHz: not always whole. */
  readonly stepUs: number;
  /** In time order, none empty, together covering every sample. */
  readonly segments: readonly Segment[];
  /** 1 where any channel of the sample is saturated. */
  readonly saturated: Uint8Array;
}

/** One press of one button. `upUs` is null where the log does not say when it was let go. */
export interface Press {
  readonly button: string;
  readonly downUs: number;
  readonly upUs: number | null;
}

/** A stretch of time. */
export interface Span {
  readonly startUs: number;
  readonly endUs: number;
}
