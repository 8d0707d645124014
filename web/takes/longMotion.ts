import {
  FORCE_COLUMNS,
  type ForceColumns,
  MOTION_COLUMNS,
  RATE_COLUMNS,
  type RateColumns,
  type Segment,
  type UniformLog,
} from '../../server/engine/base/log.ts';
import {
  type PackedColumn,
  packTimes,
  packValues,
  unpackColumn,
} from '../../server/engine/base/packColumn.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import type { BiasTrack } from '../../server/engine/calibrate/bias.ts';
import type { Calibration } from '../../server/engine/calibrate/calibration.ts';
import { type CandidateMotion, computeThrust } from '../../server/engine/motion/motion.ts';
import { forceInPropFrame, ratesInPropFrame } from '../../server/engine/motion/propFrame.ts';
import type { Hold } from '../../server/engine/motion/signals.ts';
import type { RawLog } from './reader.ts';

type Name = (typeof MOTION_COLUMNS)[number];

/** A take as it was read, in a quarter of the memory, and all that its motion takes to be computed from it again. */
export interface ThinLog {
  readonly columns: Readonly<Record<Name, PackedColumn>>;
  /** Where the take had to be put on a grid: its rows as they were before. */
  readonly rows: { readonly timeUs: PackedColumn; readonly saturated: Uint8Array } | null;
  readonly bias: BiasTrack;
}

/** Of more columns than that too many values are known to be told in fewer bytes: nothing would be saved. */
const MOST_PLAIN = 3;

/**
 * null where hardly any column can be told in fewer bytes: such a take is kept as it is.
 * @param bias  of the log on its grid.
 */
export function thinLog(
  { raw, saturated, packed, uniform }: RawLog & { readonly uniform: UniformLog },
  bias: BiasTrack,
): ThinLog | null {
  const columns = MOTION_COLUMNS.map((name) => [name, packed?.[name] ?? packValues(raw[name])] as const);
  if (columns.filter(([, { as }]) => as === 'plain').length > MOST_PLAIN) return null;
  const own = columns.map(([name, column]) => [name, ownOf(column)] as const);
  const isOnGrid = uniform.gyroXDps === raw.gyroXDps;
  return {
    columns: Object.fromEntries(own) as ThinLog['columns'],
    rows: isOnGrid
      ? null
      : { timeUs: ownOf(packed?.timeUs ?? packTimes(raw.timeUs)), saturated: saturated.slice() },
    bias,
  };
}

/** With arrays of its own: what is sent to the page is not to take the bytes along that it was read from. */
function ownOf(column: PackedColumn): PackedColumn {
  switch (column.as) {
    case 'plain':
      return { as: 'plain', values: column.values.slice() };
    case 'table':
      return { as: 'table', table: column.table.slice(), places: column.places.slice() };
    case 'steps':
      return { as: 'steps', first: column.first, steps: column.steps.slice() };
  }
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
  private readonly rates: () => RateColumns;
  private readonly forces: () => ForceColumns;
  private readonly thrust: () => Float64Array;

  /** @param motion  the whole of it, as it was computed. */
  constructor(motion: CandidateMotion, thin: ThinLog, calibration: Calibration, hold: Hold) {
    this.rateHz = motion.rateHz;
    this.timeUs = motion.timeUs;
    this.segments = motion.segments;
    this.saturated = motion.saturated;
    this.trueSpeedDps = motion.trueSpeedDps;
    this.stillMask = motion.stillMask;
    const { gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG, thrustUnsmoothedG } = motion;
    const { timeUs } = motion;
    this.rates = hold(
      () => ratesInPropFrame({ ...onGrid(thin, RATE_COLUMNS), timeUs }, thin.bias, calibration.mount),
      { gyroXDps, gyroYDps, gyroZDps },
    );
    this.forces = hold(() => forceInPropFrame(onGrid(thin, FORCE_COLUMNS), calibration), {
      accelXG,
      accelYG,
      accelZG,
    });
    this.thrust = hold(
      () => computeThrust({ ...this.rates(), ...this.forces() }, this, calibration.leverArmM),
      thrustUnsmoothedG,
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
function onGrid<N extends Name>({ columns, rows }: ThinLog, names: readonly N[]): Record<N, Float64Array> {
  const read = <Wanted extends Name>(wanted: readonly Wanted[]) =>
    Object.fromEntries(wanted.map((name) => [name, unpackColumn(columns[name])])) as Record<
      Wanted,
      Float64Array
    >;
  if (!rows) return read(names);
  return buildTimeBase({ ...read(MOTION_COLUMNS), timeUs: unpackColumn(rows.timeUs) }, rows.saturated)
    .uniform;
}
