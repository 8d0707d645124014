import type { MotionLog, UniformLog } from '../base/log.ts';
import { lasting, moment } from './figures.ts';
import { CHANNELS } from './input.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** A working channel's noise moves its last digit within this time while the prop moves. */
export const STUCK_S = 0.5;
/** While the sensor's other channels move by this much. */
const MOVED = { gyro: 60, accel: 0.5 } as const;

interface StuckRun {
  readonly name: string;
  readonly startUs: number;
  readonly lengthUs: number;
}

/** Channels that never change, and channels that stand still for a while though their sensor moves. */
export function checkChannels(raw: MotionLog, { stepUs }: UniformLog): CheckLine {
  const dead = CHANNELS.filter(({ key }) => isConstant(raw[key]));
  if (dead.length > 0) {
    const words = dead.map(
      ({ key, name }) => `${name} reads ${raw[key][0] === 0 ? 'nothing but 0' : 'one value'} throughout`,
    );
    return fails(
      'channels',
      `${words.join('; ')}.`,
      'Look at the wiring, the sensor’s set-up and the columns chosen in the preview.',
      'speed, twist and thrust alike',
    );
  }
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
  if (stuck.length === 0) return passes('channels', 'All six channels move.');
  return cautions(
    'channels',
    `${stuck.map(words).join('; ')}, while its sensor moved.`,
    'Look at the logger: a value that stands still in motion was not read anew.',
    'the moments named',
  );
}

function words({ name, startUs, lengthUs }: StuckRun): string {
  return `${name} stood still for ${lasting(lengthUs)} from ${moment(startUs)}`;
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
