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
export function removeBias(log: UniformLog, track: BiasTrack): UniformLog {
  if (track.knots.length === 0) return log;
  const rates = [log.gyroXDps.slice(), log.gyroYDps.slice(), log.gyroZDps.slice()] as const;
  takeOffBias(rates, log.timeUs, track);
  return { ...log, gyroXDps: rates[0], gyroYDps: rates[1], gyroZDps: rates[2] };
}

/** Takes a track off three columns of rates, in place. */
export function takeOffBias(
  rates: readonly [Float64Array, Float64Array, Float64Array],
  timeUs: Float64Array,
  { knots }: BiasTrack,
): void {
  if (knots.length === 0) return;
  const axes = ['xDps', 'yDps', 'zDps'] as const;
  axes.forEach((axis, k) => {
    let i = 0;
    for (let knot = 0; knot <= knots.length; ++knot)
      i = takeOffPiece(rates[k]!, timeUs, i, axis, knots[knot - 1], knots[knot]);
  });
}

/** From sample i to the knot `to`, or to the end; gives the first sample that is left. */
function takeOffPiece(
  rate: Float64Array,
  timeUs: Float64Array,
  i: number,
  axis: 'xDps' | 'yDps' | 'zDps',
  from: BiasKnot | undefined,
  to: BiasKnot | undefined,
): number {
  const base = (from ?? to)![axis];
  const slope = from && to ? (to[axis] - base) / (to.timeUs - from.timeUs) : 0;
  const startUs = from?.timeUs ?? 0;
  const endUs = to?.timeUs ?? Number.POSITIVE_INFINITY;
  let k = i;
  for (; k < rate.length && timeUs[k]! < endUs; ++k)
    rate[k] = rate[k]! - (base + slope * (timeUs[k]! - startUs));
  return k;
}
