import type { Swing } from '../truth/swings.ts';
import { counted, figure, moment } from './figures.ts';
import { type CheckLine, cautions, passes } from './line.ts';

/** With fewer swings than this a threshold rests on chance. */
export const SWINGS_LEAST = 3;

export interface FastestSwing {
  readonly count: number;
  readonly peakDps: number;
  readonly peakUs: number;
  /** The peak rests on clipped samples: it was higher. */
  readonly isClipped: boolean;
}

export function fastestOf(swings: readonly Swing[]): FastestSwing | null {
  const [first, ...rest] = swings;
  if (!first) return null;
  const fastest = rest.reduce((best, swing) => (swing.peakDps > best.peakDps ? swing : best), first);
  const { peakDps, peakUs, saturated } = fastest;
  return { count: swings.length, peakDps, peakUs, isClipped: saturated };
}

export function checkSwings(fastest: FastestSwing | null): CheckLine {
  const advice = 'Fine for a take of rest or of twists; to tune a guard, record swings with reversals.';
  if (!fastest) return cautions('swings', 'No swing was found.', advice, 'any score of guard or deflection');
  const { count, peakDps, peakUs, isClipped } = fastest;
  const peak = isClipped ? `beyond the sensor’s range` : `${figure(peakDps, 4)} °/s`;
  const finding = `${counted(count, 'swing')}, the fastest ${peak} at ${moment(peakUs)}.`;
  if (count < SWINGS_LEAST) return cautions('swings', finding, advice, 'scores that rest on so few swings');
  return passes('swings', finding);
}
