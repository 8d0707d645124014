import type { Swing } from '../truth/swings.ts';
import type { Line } from './line.ts';

/** With fewer swings than this a threshold rests on chance. */
const SWINGS_LEAST = 3;

export interface SwingSummary {
  readonly count: number;
  /** Swings whose peak rests on clipped samples: their speed is not known. */
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

/** Speeds of the take's swings, as far as they are certain. */
export interface SwingsLine extends Line<'swings'>, SwingSummary {}

export function checkSwings(summary: SwingSummary): SwingsLine {
  return { id: 'swings', state: summary.count < SWINGS_LEAST ? 'caution' : 'pass', ...summary };
}
