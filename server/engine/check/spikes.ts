import type { UniformLog } from '../base/log.ts';
import { CHANNELS } from './input.ts';
import type { Line } from './line.ts';
import { RATE_GOOD_HZ } from './rate.ts';

/** Distance of a single sample from both its neighbours: at 80 Hz the top of a hard swing differs by 40 deg/s. */
export const SPIKE_DPS = 150;
/** Its neighbours differ from each other by no more than this share of the leap. */
const AGREEMENT = 0.3;

/** Samples at which one rate leaps away and comes back at once: no hand turns like that. */
function findSpikes(log: UniformLog): Int32Array {
  const found = new Set<number>();
  for (const { key, kind } of CHANNELS) {
    if (kind !== 'gyro') continue;
    const values = log[key];
    for (const { start, end } of log.segments) {
      for (let i = start + 1; i + 1 < end; ++i) {
        const leap = Math.abs(values[i]! - (values[i - 1]! + values[i + 1]!) / 2);
        if (leap >= SPIKE_DPS && Math.abs(values[i + 1]! - values[i - 1]!) <= AGREEMENT * leap) found.add(i);
      }
    }
  }
  return Int32Array.from(found).sort();
}

export interface SpikesLine extends Line<'spikes'> {
  readonly rateHz: number;
  /** null where the rate is too low to tell a spike from a short swing. */
  readonly spikesUs: readonly number[] | null;
}

export function checkSpikes(log: UniformLog): SpikesLine {
  const { rateHz, timeUs } = log;
  const spikesUs = rateHz < RATE_GOOD_HZ ? null : Array.from(findSpikes(log), (i) => timeUs[i]!);
  return { id: 'spikes', state: spikesUs && spikesUs.length > 0 ? 'caution' : 'pass', rateHz, spikesUs };
}
