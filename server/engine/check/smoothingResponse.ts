import type { SmoothingSettings } from '../candidate.ts';
import { magnitudeAt, type Section } from '../filter/biquad.ts';
import { designLowPass } from '../filter/butterworth.ts';
import { FirstOrderLowPass } from '../filter/firstOrder.ts';
import { smoothingApplies } from '../filter/smoothing.ts';

/** What a smoothing lets through at a frequency, in dB; 0 where the log is too slow for it to apply. */
export function smoothingGainDb(settings: SmoothingSettings, sampleHz: number, frequencyHz: number): number {
  if (!smoothingApplies(settings, sampleHz)) return 0;
  return 20 * Math.log10(magnitudeAt(sectionsOf(settings, sampleHz), frequencyHz, sampleHz));
}

function sectionsOf({ kind, order, cutoffHz }: SmoothingSettings, sampleHz: number): Section[] {
  if (kind === 'butterworth') return designLowPass(order, cutoffHz, sampleHz);
  const { alpha } = new FirstOrderLowPass(cutoffHz, sampleHz);
  return [{ b0: alpha, b1: 0, b2: 0, a1: alpha - 1, a2: 0 }];
}
