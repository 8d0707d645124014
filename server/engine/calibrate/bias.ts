import type { UniformLog } from '../log.ts';
import { findStillStretches } from './stillness.ts';

export interface BiasKnot {
  readonly timeUs: number;
  readonly xDps: number;
  readonly yDps: number;
  readonly zDps: number;
}

/** The gyro's bias in the log's own frame: linear between knots, constant beyond them, zero where there are none. */
export interface BiasTrack {
  readonly knots: readonly BiasKnot[];
}

/** The mean rate of every still stretch, at its middle. Not causal. */
export function estimateBias(log: UniformLog): BiasTrack {
  return {
    knots: findStillStretches(log).map((still) => ({
      timeUs: (still.startUs + still.endUs) / 2,
      xDps: still.gyroXDps,
      yDps: still.gyroYDps,
      zDps: still.gyroZDps,
    })),
  };
}

/** The log with its bias taken off; the same log where there is none to take. */
export function removeBias(log: UniformLog, { knots }: BiasTrack): UniformLog {
  if (knots.length === 0) return log;
  return {
    ...log,
    gyroXDps: lessBias(log.gyroXDps, log.timeUs, knots, 'xDps'),
    gyroYDps: lessBias(log.gyroYDps, log.timeUs, knots, 'yDps'),
    gyroZDps: lessBias(log.gyroZDps, log.timeUs, knots, 'zDps'),
  };
}

function lessBias(
  rate: Float64Array,
  timeUs: Float64Array,
  knots: readonly BiasKnot[],
  axis: 'xDps' | 'yDps' | 'zDps',
): Float64Array {
  const out = new Float64Array(rate.length);
  let k = 0;
  for (let i = 0; i < rate.length; ++i) {
    const tUs = timeUs[i]!;
    while (k < knots.length - 1 && knots[k + 1]!.timeUs <= tUs) ++k;
    const from = knots[k]!;
    const to = knots[k + 1];
    const isBetween = to !== undefined && tUs > from.timeUs;
    const part = isBetween ? (tUs - from.timeUs) / (to.timeUs - from.timeUs) : 0;
    out[i] = rate[i]! - (isBetween ? from[axis] + part * (to[axis] - from[axis]) : from[axis]);
  }
  return out;
}
