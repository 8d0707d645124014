import type { RateColumns, UniformLog } from '../base/log.ts';
import { Scratch } from '../base/scratch.ts';
import { middleUs } from './plausibleRests.ts';
import { findStillStretches } from './stillness.ts';
import type { StillStretch } from './stillStretch.ts';

interface BiasKnot {
  readonly timeUs: number;
  readonly xDps: number;
  readonly yDps: number;
  readonly zDps: number;
}

/** The gyro's bias in the log's own frame: linear between knots, constant beyond them, zero where there are none. */
export interface BiasTrack {
  readonly knots: readonly BiasKnot[];
}

/** Rests this near to each other share one knot: as two knots, the shorter would count as much as the longer. */
const ONE_KNOT_US = 4e6;

/**
 * A knot at the middle of every rest, with its mean rate; rests near each other are averaged, weighted by length. Not
 * causal.
 */
export function estimateBias(log: UniformLog): BiasTrack {
  const groups: StillStretch[][] = [];
  for (const still of findStillStretches(log)) {
    const last = groups.at(-1);
    if (last && still.endUs - last[0]!.startUs <= ONE_KNOT_US) last.push(still);
    else groups.push([still]);
  }
  return { knots: groups.map(knotOf) };
}

function knotOf(rests: readonly StillStretch[]): BiasKnot {
  const total = rests.reduce((sum, { samples }) => sum + samples, 0);
  const mean = (of: (still: StillStretch) => number): number =>
    rests.reduce((sum, still) => sum + (of(still) * still.samples) / total, 0);
  return {
    timeUs: mean(middleUs),
    xDps: mean(({ gyroXDps }) => gyroXDps),
    yDps: mean(({ gyroYDps }) => gyroYDps),
    zDps: mean(({ gyroZDps }) => gyroZDps),
  };
}

/**
 * The log with its bias taken off; the same log where there is none to take.
 * @param scratch  for the rates: what an earlier call took off there is gone.
 */
export function removeBias(log: UniformLog, track: BiasTrack, scratch: Scratch = new Scratch()): UniformLog {
  if (track.knots.length === 0) return log;
  const copy = (name: keyof RateColumns): Float64Array => {
    const out = scratch.column(name, log[name].length);
    out.set(log[name]);
    return out;
  };
  const rates = [copy('gyroXDps'), copy('gyroYDps'), copy('gyroZDps')] as const;
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
