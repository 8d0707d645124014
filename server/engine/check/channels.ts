import type { MotionLog, UniformLog } from '../base/log.ts';
import { CHANNELS } from './input.ts';
import type { Line } from './line.ts';

/** A working channel's noise moves its last digit within this time while the prop moves. */
const STUCK_S = 0.5;
/** While the sensor's other channels move by this much. */
const MOVED = { gyro: 60, accel: 0.5 } as const;

interface StuckRun {
  readonly name: string;
  readonly startUs: number;
  readonly lengthUs: number;
}

/** Channels that never change, and channels that stand still for a while though their sensor moves. */
export interface ChannelsLine extends Line<'channels'> {
  readonly constant: readonly { readonly name: string; readonly isZero: boolean }[];
  /** Empty where a channel is constant: then stuck ones are not looked for. */
  readonly stuck: readonly StuckRun[];
}

export function checkChannels(raw: MotionLog, { stepUs }: UniformLog): ChannelsLine {
  const constant = CHANNELS.filter(({ key }) => isConstant(raw[key])).map(({ key, name }) => {
    return { name, isZero: raw[key][0] === 0 };
  });
  if (constant.length > 0) return { id: 'channels', state: 'fail', constant, stuck: [] };
  const samples = Math.ceil((STUCK_S * 1e6) / stepUs);
  const stuck = CHANNELS.flatMap((channel) => {
    const others = CHANNELS.filter(({ kind, key }) => kind === channel.kind && key !== channel.key);
    const run = longestStuck(raw[channel.key], samples, (from, to) =>
      others.some(({ key }) => rangeOf(raw[key], from, to) >= MOVED[channel.kind]),
    );
    if (!run) return [];
    const [startUs, endUs] = [raw.timeUs[run[0]]!, raw.timeUs[run[1]]!];
    return [{ name: channel.name, startUs, lengthUs: endUs - startUs }];
  });
  return { id: 'channels', state: stuck.length === 0 ? 'pass' : 'caution', constant, stuck };
}

function isConstant(values: Float64Array): boolean {
  for (let i = 1; i < values.length; ++i) if (values[i] !== values[0]) return false;
  return true;
}

/** First and last sample of the longest run of one value that `moves` allows. */
function longestStuck(
  values: Float64Array,
  least: number,
  moves: (from: number, to: number) => boolean,
): [number, number] | null {
  let best: [number, number] | null = null;
  let start = 0;
  for (let i = 1; i <= values.length; ++i) {
    if (i < values.length && values[i] === values[start]) continue;
    const isLonger = i - start > Math.max(least, best ? best[1] - best[0] + 1 : 0);
    if (isLonger && moves(start, i)) best = [start, i - 1];
    start = i;
  }
  return best;
}

function rangeOf(values: Float64Array, from: number, to: number): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = from; i < to; ++i) {
    if (values[i]! < low) low = values[i]!;
    if (values[i]! > high) high = values[i]!;
  }
  return high - low;
}
