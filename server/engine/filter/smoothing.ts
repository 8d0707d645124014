import { samplesFromMs } from '../base/sampleCount.ts';
import { choice, number, type ValuesOf } from '../base/setting.ts';
import { Cascade, groupDelayMs } from './biquad.ts';
import { designLowPass } from './butterworth.ts';
import { FirstOrderLowPass } from './firstOrder.ts';
import { MovingAverage } from './movingAverage.ts';
import { RunningMedian } from './runningMedian.ts';

/** The causal smoothing that a prop would run on each rate axis (and on thrust). */
export const SMOOTHING_SETTINGS = {
  kind: choice(
    'butterworth',
    [
      ['none', 'none'],
      ['firstOrder', 'first order'],
      ['butterworth', 'Butterworth'],
      ['movingAverage', 'moving average'],
      ['median', 'median'],
    ],
    'Kind',
    'Smoothing',
  ),
  /** Used by Butterworth only. */
  order: choice(
    2,
    [
      [1, '1'],
      [2, '2'],
      [4, '4'],
    ],
    'Order',
    'Order of the low-pass',
  ),
  /** Used by Butterworth and first order. */
  cutoffHz: number(
    { byDefault: 25, min: 0.5, max: 500, sliderMax: 60, step: 1, unit: 'Hz' },
    'Cut-off',
    'Smoothing: lets through up to',
  ),
  /** Length of the window of a moving average or a median; used by these two only. */
  lengthMs: number(
    { byDefault: 25, min: 1, max: 500, sliderMax: 200, step: 1, unit: 'ms' },
    'Length',
    'Smoothing: looks back over',
  ),
};

export type SmoothingSettings = ValuesOf<typeof SMOOTHING_SETTINGS>;

/**
 * A causal smoothing; its first sample after a reset primes it, as if that value had always been there. NaN gives NaN and
 * leaves no trace.
 */
export interface Smoother {
  step(x: number): number;
  /** Steps through all of x and writes the output to `out`, as long as x; bit for bit what `step` gives. */
  run(x: Float64Array, out: Float64Array): void;
  reset(): void;
}

/** With a cutoff above this part of the sample rate there is nothing left to smooth. */
const HIGHEST_PART = 0.45;

/** Whether a kind of smoothing is set by `lengthMs`. */
export function isWindowed(kind: unknown): boolean {
  return kind === 'movingAverage' || kind === 'median';
}

/** Whether a log of this rate can show what the smoothing does. */
export function smoothingApplies(settings: SmoothingSettings, sampleHz: number): boolean {
  switch (settings.kind) {
    case 'none':
      return false;
    case 'movingAverage':
    case 'median':
      return smoothingSamples(settings, sampleHz) > 1;
    case 'firstOrder':
    case 'butterworth':
      return settings.cutoffHz < HIGHEST_PART * sampleHz;
  }
}

/** Number of samples in the window of a moving average or a median. @throws RangeError  unless lengthMs > 0. */
export function smoothingSamples({ lengthMs }: SmoothingSettings, sampleHz: number): number {
  if (!(lengthMs > 0)) throw new RangeError(`lengthMs must be above 0, got ${lengthMs}`);
  return samplesFromMs(lengthMs, sampleHz);
}

/** The smoother of a candidate; it passes everything through where the smoothing does not apply. */
export function makeSmoother(settings: SmoothingSettings, sampleHz: number): Smoother {
  const filter = smoothingApplies(settings, sampleHz) ? makeFilter(settings, sampleHz) : null;
  if (filter === null) return { step: (x) => x, run: (x, out) => out.set(x), reset: () => {} };
  return new PrimedFilter(filter);
}

/**
 * Group delay at a frequency, in ms; 0 where the smoothing does not apply. null for a median, which has no frequency
 * response and so no delay at a frequency.
 */
export function smoothingDelayMs(
  settings: SmoothingSettings,
  sampleHz: number,
  frequencyHz: number,
): number | null {
  if (!smoothingApplies(settings, sampleHz)) return 0;
  switch (settings.kind) {
    case 'none':
      return 0;
    case 'median':
      return null;
    case 'movingAverage':
      return (500 * (smoothingSamples(settings, sampleHz) - 1)) / sampleHz;
    case 'butterworth':
      return groupDelayMs(designLowPass(settings.order, settings.cutoffHz, sampleHz), frequencyHz, sampleHz);
    case 'firstOrder': {
      const { section } = new FirstOrderLowPass(settings.cutoffHz, sampleHz);
      return groupDelayMs([section], frequencyHz, sampleHz);
    }
  }
}

/** Delay of a steady rise, in ms: the group delay at 0 Hz, or half of a median's window, whose middle sample it is. */
export function rampDelayMs(settings: SmoothingSettings, sampleHz: number): number {
  return smoothingDelayMs(settings.kind === 'median' ? asAverage(settings) : settings, sampleHz, 0)!;
}

function asAverage(settings: SmoothingSettings): SmoothingSettings {
  return { ...settings, kind: 'movingAverage' };
}

interface Filter {
  step(x: number): number;
  prime(x: number): void;
  /** A faster path for many samples, where there is one. */
  run?(x: Float64Array, out: Float64Array): void;
}

function makeFilter(settings: SmoothingSettings, sampleHz: number): Filter | null {
  switch (settings.kind) {
    case 'none':
      return null;
    case 'firstOrder':
      return new FirstOrderLowPass(settings.cutoffHz, sampleHz);
    case 'butterworth':
      return new Cascade(designLowPass(settings.order, settings.cutoffHz, sampleHz));
    case 'movingAverage':
      return new MovingAverage(smoothingSamples(settings, sampleHz));
    case 'median':
      return new RunningMedian(smoothingSamples(settings, sampleHz));
  }
}

class PrimedFilter implements Smoother {
  private readonly filter: Filter;
  private isPrimed = false;

  constructor(filter: Filter) {
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

  run(x: Float64Array, out: Float64Array): void {
    const { filter } = this;
    if (filter.run === undefined || x.length === 0 || holdsNaN(x)) {
      for (let i = 0; i < x.length; ++i) out[i] = this.step(x[i]!);
      return;
    }
    if (!this.isPrimed) filter.prime(x[0]!);
    this.isPrimed = true;
    filter.run(x, out);
  }

  reset(): void {
    this.isPrimed = false;
  }
}

function holdsNaN(x: Float64Array): boolean {
  for (let i = 0; i < x.length; ++i) if (Number.isNaN(x[i]!)) return true;
  return false;
}
