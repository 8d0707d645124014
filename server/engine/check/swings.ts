import type { Swing } from '../truth/swings.ts';
import { counted, figure, moment } from './figures.ts';
import { type CheckLine, cautions, passes } from './line.ts';

/** With fewer swings than this a threshold rests on chance. */
export const SWINGS_LEAST = 3;

export interface SwingSummary {
  readonly count: number;
  /** Those whose peak rests on clipped samples: how fast they were nobody can tell. */
  readonly clipped: number;
  /** The fastest of the others, by its true speed; 0 at 0 where there is none. */
  readonly peakDps: number;
  readonly peakUs: number;
}

export function summariseSwings(swings: readonly Swing[]): SwingSummary {
  const sound = swings.filter(({ saturated }) => !saturated);
  const fastest = sound.reduce((best, swing) => (swing.peakDps > best.peakDps ? swing : best), {
    peakDps: 0,
    peakUs: 0,
  });
  const { peakDps, peakUs } = fastest;
  return { count: swings.length, clipped: swings.length - sound.length, peakDps, peakUs };
}

/** How fast the take's swings are for certain. */
export function checkSwings({ count, clipped, peakDps, peakUs }: SwingSummary): CheckLine {
  const advice = 'Fine for a take of rest or of twists; to tune a guard, record swings with reversals.';
  if (count === 0)
    return cautions('swings', 'No swing was found.', advice, 'any score of guard or deflection');
  const beyond = clipped > 0 ? `; ${clipped} went beyond the sensor’s range` : '';
  const fastest =
    peakDps > 0
      ? `, the fastest${clipped > 0 ? ' of the others' : ''} ${figure(peakDps, 4)} °/s at ${moment(peakUs)}`
      : '';
  const finding = `${counted(count, 'swing')}${beyond}${fastest}.`;
  if (count < SWINGS_LEAST) return cautions('swings', finding, advice, 'scores that rest on so few swings');
  return passes('swings', finding);
}
