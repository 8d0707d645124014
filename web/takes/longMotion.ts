import {
  FORCE_COLUMNS,
  type ForceColumns,
  type MOTION_COLUMNS,
  RATE_COLUMNS,
  type RateColumns,
  type Segment,
} from '../../server/engine/base/log.ts';
import { unpackColumn } from '../../server/engine/base/packColumn.ts';
import { readPacked, unpackLog } from '../../server/engine/base/packedColumns.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import type { BiasTrack } from '../../server/engine/calibrate/bias.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import { type CandidateMotion, computeThrust } from '../../server/engine/motion/motion.ts';
import { forceInPropFrame, ratesInPropFrame } from '../../server/engine/motion/propFrame.ts';
import type { Hold } from '../../server/engine/motion/signals.ts';

type Name = (typeof MOTION_COLUMNS)[number];

/** A take's log in few bytes, as it came from the server, and all that its motion takes to be computed from it again. */
export interface ThinLog {
  readonly bytes: ArrayBufferLike;
  /** Whether its rows lie on an even grid as they are; else they are put on one. */
  readonly isOnGrid: boolean;
  readonly bias: BiasTrack;
}

/** What of a motion is looked at all the time. */
export type ShownMotion = Pick<
  CandidateMotion,
  'rateHz' | 'timeUs' | 'segments' | 'saturated' | 'trueSpeedDps' | 'stillMask'
>;

export function shownOf(motion: CandidateMotion): ShownMotion {
  const { rateHz, timeUs, segments, saturated, trueSpeedDps, stillMask } = motion;
  return { rateHz, timeUs, segments, saturated, trueSpeedDps, stillMask };
}

/**
 * The motion of a take so long that the page keeps only what is looked at all the time; its other columns are held as
 * `hold` says, and computed again from the thin log, to the bit.
 */
export class LongMotion implements CandidateMotion {
  readonly rateHz: number;
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
  readonly saturated: Uint8Array;
  readonly trueSpeedDps: Float64Array;
  readonly stillMask: Uint8Array;
  /** The log that all of it is computed from. */
  readonly bytes: ArrayBufferLike;
  private readonly rates: () => RateColumns;
  private readonly forces: () => ForceColumns;
  private readonly thrust: () => Float64Array;

  constructor(shown: ShownMotion, thin: ThinLog, calibration: Calibration, hold: Hold) {
    this.rateHz = shown.rateHz;
    this.timeUs = shown.timeUs;
    this.segments = shown.segments;
    this.saturated = shown.saturated;
    this.trueSpeedDps = shown.trueSpeedDps;
    this.stillMask = shown.stillMask;
    this.bytes = thin.bytes;
    const { timeUs } = shown;
    this.rates = hold(() =>
      ratesInPropFrame({ ...onGrid(thin, RATE_COLUMNS), timeUs }, thin.bias, calibration.mount),
    );
    this.forces = hold(() => forceInPropFrame(onGrid(thin, FORCE_COLUMNS), calibration));
    this.thrust = hold(() =>
      computeThrust({ ...this.rates(), ...this.forces() }, this, calibration.leverArmM),
    );
  }

  get gyroXDps(): Float64Array {
    return this.rates().gyroXDps;
  }
  get gyroYDps(): Float64Array {
    return this.rates().gyroYDps;
  }
  get gyroZDps(): Float64Array {
    return this.rates().gyroZDps;
  }
  get accelXG(): Float64Array {
    return this.forces().accelXG;
  }
  get accelYG(): Float64Array {
    return this.forces().accelYG;
  }
  get accelZG(): Float64Array {
    return this.forces().accelZG;
  }
  get thrustUnsmoothedG(): Float64Array {
    return this.thrust();
  }
}

/** Columns of the log on its uniform grid, as they were before its motion was computed. */
function onGrid<N extends Name>({ bytes, isOnGrid }: ThinLog, names: readonly N[]): Record<N, Float64Array> {
  const packed = readPacked(bytes);
  if (isOnGrid)
    return Object.fromEntries(names.map((name) => [name, unpackColumn(packed.columns[name])])) as Record<
      N,
      Float64Array
    >;
  const { log, saturated } = unpackLog(packed);
  return buildTimeBase(log, saturated).uniform;
}
