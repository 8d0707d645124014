import type { SmoothingSettings } from '../candidate.ts';
import { Cascade, groupDelayMs } from './biquad.ts';
import { designLowPass } from './butterworth.ts';
import { FirstOrderLowPass } from './firstOrder.ts';

/**
 * A causal low-pass; its first sample after a reset primes it, as if that value had always been there. NaN gives NaN and
 * leaves no trace.
 */
export interface Smoother {
  step(x: number): number;
  reset(): void;
}

/** A cutoff this near to half the sample rate smooths nothing that is left to smooth. */
const HIGHEST_PART = 0.45;

/** Whether a log of this rate can show what the smoothing does. */
export function smoothingApplies(settings: SmoothingSettings, sampleHz: number): boolean {
  return settings.kind !== 'none' && settings.cutoffHz < HIGHEST_PART * sampleHz;
}

/** The smoother of a candidate; it passes everything through where the smoothing does not apply. */
export function makeSmoother(settings: SmoothingSettings, sampleHz: number): Smoother {
  if (!smoothingApplies(settings, sampleHz)) return { step: (x) => x, reset: () => {} };
  return new PrimedFilter(makeFilter(settings, sampleHz));
}

/** Delay at a frequency, in ms: group delay; 0 where the smoothing does not apply. */
export function smoothingDelayMs(settings: SmoothingSettings, sampleHz: number, frequencyHz: number): number {
  if (!smoothingApplies(settings, sampleHz)) return 0;
  if (settings.kind === 'butterworth') {
    return groupDelayMs(designLowPass(settings.order, settings.cutoffHz, sampleHz), frequencyHz, sampleHz);
  }
  const { alpha } = new FirstOrderLowPass(settings.cutoffHz, sampleHz);
  return groupDelayMs([{ b0: alpha, b1: 0, b2: 0, a1: alpha - 1, a2: 0 }], frequencyHz, sampleHz);
}

function makeFilter(settings: SmoothingSettings, sampleHz: number): Cascade | FirstOrderLowPass {
  if (settings.kind === 'firstOrder') return new FirstOrderLowPass(settings.cutoffHz, sampleHz);
  return new Cascade(designLowPass(settings.order, settings.cutoffHz, sampleHz));
}

class PrimedFilter implements Smoother {
  private readonly filter: Cascade | FirstOrderLowPass;
  private isPrimed = false;

  constructor(filter: Cascade | FirstOrderLowPass) {
    this.filter = filter;
  }

  step(x: number): number {
    if (Number.isNaN(x)) return x;
    if (!this.isPrimed) {
      this.filter.prime(x);
      this.isPrimed = true;
    }
    return this.filter.step(x);
  }

  reset(): void {
    this.isPrimed = false;
  }
}
