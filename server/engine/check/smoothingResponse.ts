import { magnitudeAt } from '../filter/biquad.ts';
import { designLowPass } from '../filter/butterworth.ts';
import { FirstOrderLowPass } from '../filter/firstOrder.ts';
import { type SmoothingSettings, smoothingApplies, smoothingSamples } from '../filter/smoothing.ts';

/**
 * Gain of a smoothing at a frequency, in dB; 0 where the log is too slow for it to apply. null for a median, which has
 * no frequency response: its output for a sine depends on the rest of the signal.
 */
export function smoothingGainDb(
  settings: SmoothingSettings,
  sampleHz: number,
  frequencyHz: number,
): number | null {
  if (!smoothingApplies(settings, sampleHz)) return 0;
  const gain = gainOf(settings, sampleHz, frequencyHz);
  return gain === null ? null : 20 * Math.log10(gain);
}

function gainOf(settings: SmoothingSettings, sampleHz: number, frequencyHz: number): number | null {
  const { kind, order, cutoffHz } = settings;
  switch (kind) {
    case 'none':
      return 1;
    case 'median':
      return null;
    case 'movingAverage':
      return averageGain(smoothingSamples(settings, sampleHz), frequencyHz / sampleHz);
    case 'butterworth':
      return magnitudeAt(designLowPass(order, cutoffHz, sampleHz), frequencyHz, sampleHz);
    case 'firstOrder':
      return magnitudeAt([new FirstOrderLowPass(cutoffHz, sampleHz).section], frequencyHz, sampleHz);
  }
}

/** |sin(πfN) / (N sin(πf))|, f as a part of the sample rate: Dirichlet's kernel (Smith 1997, ch. 15, from memory). */
function averageGain(samples: number, partOfRate: number): number {
  const below = samples * Math.sin(Math.PI * partOfRate);
  return below === 0 ? 1 : Math.abs(Math.sin(Math.PI * partOfRate * samples) / below);
}
