import type { MotionLog } from '../base/log.ts';
import type { Swing } from '../truth/swings.ts';
import type { Clipping } from './clipping.ts';
import { counted, figure, moments } from './figures.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** Common swings peak above this: a gyro that ends below it cannot hold them. */
export const LOW_LIMIT_DPS = 500;
/** Where such a gyro clips more than a fifth of the swings, their turns and lever arms are guesses. */
export const CLIPPED_SWING_SHARE = 0.2;

/**
 * @param read  samples that reading the file marked as saturated
 * @param swings  marked where their rates are clipped
 */
export function checkClipping(
  found: readonly Clipping[],
  read: number,
  raw: MotionLog,
  swings: readonly Swing[],
): CheckLine {
  const clipped = swings.filter(({ saturated }) => saturated);
  if (found.length === 0 && read === 0)
    return passes('clipping', 'No channel stands at the end of its range.');
  const parts = found.map((one) => channelWords(one, raw));
  if (parts.length === 0)
    parts.push(`${counted(read, 'sample')} stood at the end of a channel’s range in the file.`);
  parts.push(peakWords(clipped, swings.length));
  const finding = parts.join(' ');
  const advice = 'Choose a wider range for the sensor. Thresholds well below the limit stay valid.';
  const gyro = found.filter(({ kind }) => kind === 'gyro');
  const isForceOnly = found.length > 0 && gyro.length === 0;
  const lowest = Math.min(...gyro.flatMap(({ limits }) => limits.map(Math.abs)));
  if (lowest < LOW_LIMIT_DPS && clipped.length > CLIPPED_SWING_SHARE * swings.length)
    return fails(
      'clipping',
      finding,
      `${advice} This one cannot hold a common swing.`,
      'peaks, turns and thrust',
    );
  return cautions(
    'clipping',
    finding,
    advice,
    isForceOnly ? 'thrust and impact where the force is clipped' : 'peaks on clipped samples',
  );
}

function channelWords({ name, kind, samples, limits, runs }: Clipping, { timeUs }: MotionLog): string {
  const unit = kind === 'gyro' ? '°/s' : 'g';
  const ends = limits.map((limit) => `${figure(limit, 4)} ${unit}`).join(' and ');
  const at = moments(runs.map(({ start }) => timeUs[start]!));
  return `${name} is stuck at ${ends} in ${counted(samples, 'sample')}, at ${at}.`;
}

function peakWords(clipped: readonly Swing[], all: number): string {
  if (clipped.length === 0) return 'No swing’s peak rests on it.';
  const at = moments(clipped.map(({ peakUs }) => peakUs));
  return `${clipped.length} of ${counted(all, 'swing')} peak on clipped samples and were faster than shown: at ${at}.`;
}
