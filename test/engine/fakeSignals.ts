import type { Segment } from '../../server/engine/base/log.ts';
import type { Motion } from '../../server/engine/motion/motion.ts';
import type { Signals } from '../../server/engine/motion/signals.ts';

type Columns = Omit<Signals, 'rateHz' | 'timeUs' | 'segments' | 'warnings' | 'saturated' | 'twistStarts'>;

/** Signals with the columns given and zeros elsewhere, on a grid with a gap of `gapUs` between segments. */
export function fakeSignals(
  columns: Partial<Record<keyof Columns, ArrayLike<number>>>,
  options: {
    rateHz?: number;
    segments?: readonly Segment[];
    gapUs?: number;
    twistStarts?: readonly number[];
  } = {},
): Signals {
  const { rateHz = 1000, gapUs = 500_000 } = options;
  const length = Math.max(...Object.values(columns).map((column) => column.length));
  const segments = options.segments ?? [{ start: 0, end: length }];
  const column = (name: keyof Columns) => Float64Array.from(columns[name] ?? new Float64Array(length));
  const swingSpeedDps = column('swingSpeedDps');
  return {
    rateHz,
    timeUs: gridUs(length, rateHz, segments, gapUs),
    segments,
    saturated: new Uint8Array(length),
    swingSpeedDps,
    trueSpeedDps: columns.trueSpeedDps ? column('trueSpeedDps') : swingSpeedDps,
    thrustG: column('thrustG'),
    twistRateDps: column('twistRateDps'),
    twistDeg: column('twistDeg'),
    swingTwistDeg: column('swingTwistDeg'),
    twistStarts: Uint8Array.from({ length }, (_, i) => (options.twistStarts?.includes(i) ? 1 : 0)),
    impactG: column('impactG'),
    warnings: [],
  };
}

/** Motion whose true speed, and whose rate about z, is the column given. */
export function fakeMotion(
  speedDps: ArrayLike<number>,
  options: {
    rateHz?: number;
    segments?: readonly Segment[];
    gapUs?: number;
    gyroYDps?: ArrayLike<number>;
  } = {},
): Motion {
  const { rateHz = 1000, gapUs = 500_000 } = options;
  const length = speedDps.length;
  const segments = options.segments ?? [{ start: 0, end: length }];
  const zeros = () => new Float64Array(length);
  return {
    rateHz,
    timeUs: gridUs(length, rateHz, segments, gapUs),
    segments,
    saturated: new Uint8Array(length),
    gyroXDps: zeros(),
    gyroYDps: Float64Array.from(options.gyroYDps ?? zeros()),
    gyroZDps: Float64Array.from(speedDps),
    accelXG: zeros(),
    accelYG: zeros(),
    accelZG: zeros(),
    gravityXG: zeros(),
    gravityYG: zeros(),
    gravityZG: zeros().fill(1),
    rawThrustG: zeros(),
    thrustUnsmoothedG: zeros(),
    trueSpeedDps: Float64Array.from(speedDps, Math.abs),
    stillMask: new Uint8Array(length),
  };
}

function gridUs(length: number, rateHz: number, segments: readonly Segment[], gapUs: number): Float64Array {
  const timeUs = new Float64Array(length);
  let originUs = 0;
  for (const { start, end } of segments) {
    for (let i = start; i < end; ++i) timeUs[i] = originUs + Math.round(((i - start) * 1e6) / rateHz);
    originUs = timeUs[end - 1]! + gapUs;
  }
  return timeUs;
}
