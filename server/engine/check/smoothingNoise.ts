import { errorFunction } from 'simple-statistics';
import {
  makeSmoother,
  type SmoothingSettings,
  smoothingApplies,
  smoothingSamples,
} from '../filter/smoothing.ts';

/** White noise after a smoothing. */
interface NoisePassed {
  /** Share of the noise's power (its variance) that is left, 0 to 1. */
  readonly powerPart: number;
  /**
   * Equivalent noise bandwidth, in Hz: that of an ideal low-pass that lets as much noise through. null for a median,
   * which has no frequency response.
   */
  readonly bandwidthHz: number | null;
}

/** White noise through a smoothing at a sample rate; for a median, normal noise about a steady value. */
export function noisePassed(settings: SmoothingSettings, sampleHz: number): NoisePassed {
  if (!smoothingApplies(settings, sampleHz)) return { powerPart: 1, bandwidthHz: sampleHz / 2 };
  if (settings.kind === 'median')
    return { powerPart: medianVariance(smoothingSamples(settings, sampleHz)), bandwidthHz: null };
  const powerPart = responseEnergy(settings, sampleHz);
  return { powerPart, bandwidthHz: (powerPart * sampleHz) / 2 };
}

/** The impulse response is followed until a stretch of it adds less than this share. */
const REST_PART = 1e-12;

/** Σ h²: as h adds up to 1, the share of white noise's power that passes. */
function responseEnergy(settings: SmoothingSettings, sampleHz: number): number {
  const smoother = makeSmoother(settings, sampleHz);
  const stretch = 64 + Math.ceil(sampleHz / settings.cutoffHz) + smoothingSamples(settings, sampleHz);
  smoother.step(0);
  let x = 1;
  let sum = 0;
  for (;;) {
    let added = 0;
    for (let i = 0; i < stretch; ++i) {
      const h = smoother.step(x);
      x = 0;
      added += h * h;
    }
    sum += added;
    if (added <= REST_PART * sum) return sum;
  }
}

const STEPS = 160;

/**
 * Variance of the median of `samples` independent normal samples of variance 1, for an even number of the mean of the
 * middle two: the density of order statistics (H. A. David, Order Statistics, from memory), integrated by the midpoint
 * rule.
 */
export function medianVariance(samples: number): number {
  const most = Math.min(6, 12 / Math.sqrt(samples));
  const weightOf = samples % 2 === 1 ? oddWeight : evenWeight;
  let sum = 0;
  let weights = 0;
  for (let i = 0; i < STEPS; ++i) {
    const middle = ((i + 0.5) * most) / STEPS;
    const weight = weightOf(middle, samples);
    sum += weight * middle * middle;
    weights += weight;
  }
  return sum / weights;
}

/** Density of the middle sample, with as many of the others below it as above; up to a factor. */
function oddWeight(middle: number, samples: number): number {
  return (4 * below(middle) * below(-middle)) ** ((samples - 1) / 2) * bell(middle);
}

/** Density of the mean of the middle two, over every distance between them; up to a factor. */
function evenWeight(middle: number, samples: number): number {
  const most = Math.min(6, 60 / samples);
  let weight = 0;
  for (let j = 0; j < STEPS; ++j) {
    const half = ((j + 0.5) * most) / STEPS;
    const others = (4 * below(middle - half) * below(-middle - half)) ** (samples / 2 - 1);
    weight += others * bell(middle - half) * bell(middle + half);
  }
  return weight;
}

function bell(value: number): number {
  return Math.exp((-value * value) / 2);
}

/** Share of normal samples below a value. */
function below(value: number): number {
  return (1 + errorFunction(value / Math.SQRT2)) / 2;
}
