import type { UniformLog } from '../base/log.ts';
import { counted, figure, moments } from './figures.ts';
import { CHANNELS } from './input.ts';
import { type CheckLine, cautions, passes } from './line.ts';
import { RATE_GOOD_HZ } from './rate.ts';

/** A single sample this far from both its neighbours: at 80 Hz the top of a hard swing is off by 40 deg/s. */
export const SPIKE_DPS = 150;
/** Its neighbours agree to this part of the leap. */
const AGREEMENT = 0.3;

/** Moments at which one rate leaps away for a single sample and comes back: no hand turns so. */
export function findSpikes(log: UniformLog): Int32Array {
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

export function checkSpikes(log: UniformLog): CheckLine {
  if (log.rateHz < RATE_GOOD_HZ)
    return passes(
      'spikes',
      `At ${figure(log.rateHz)} Hz a spike cannot be told from a short swing, and none was looked for.`,
    );
  const spikes = findSpikes(log);
  if (spikes.length === 0) return passes('spikes', 'No rate leaps away for a single sample.');
  const at = moments([...spikes].map((i) => log.timeUs[i]!));
  return cautions(
    'spikes',
    `A rate leaps away by ${SPIKE_DPS} °/s or more for one sample, ${counted(spikes.length, 'time')}: at ${at}.`,
    'A damaged row, a loose wire, or a hit on the blade: look at the traces there.',
    'peaks at the spikes',
  );
}
