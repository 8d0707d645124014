import FFT from 'fft.js';
import type { Segment } from '../base/log.ts';
import { longestSegment } from '../base/timeBase.ts';
import { makeWindow, type WindowKind } from './window.ts';

export interface WelchSettings {
  /** A power of two, at least 8. */
  readonly blockSamples: number;
  /** Samples that a block shares with the one before, 0 <= overlapSamples < blockSamples. */
  readonly overlapSamples: number;
  readonly window: WindowKind;
  /** Subtracted from each block before the window. */
  readonly detrend: 'none' | 'mean';
}

export interface Spectrum {
  /** 0 to half the sample rate. */
  readonly frequencyHz: Float64Array;
  /** One-sided power density, unit squared per Hz; NaN throughout where no block fits. */
  readonly density: Float64Array;
  /** Blocks averaged. */
  readonly blocks: number;
}

/** A block of fewer samples gives no useful spectrum. */
const BLOCK_LEAST = 32;

/**
 * Settings for blocks of about `blockS`, or as long as the longest segment allows: half overlapped, mean removed, Hann.
 * null where no segment holds 32 samples.
 */
export function blocksOf(
  blockS: number,
  sampleHz: number,
  segments: readonly Segment[],
): WelchSettings | null {
  const wanted = 2 ** Math.round(Math.log2(blockS * sampleHz));
  const size = Math.min(wanted, 2 ** Math.floor(Math.log2(Math.max(1, longestSegment(segments)))));
  if (size < BLOCK_LEAST) return null;
  return { blockSamples: size, overlapSamples: size / 2, window: 'hann', detrend: 'mean' };
}

/**
 * Welch's averaged periodogram. Blocks lie within gap-free segments; one that holds a NaN is left out.
 * The sum of density times bin width is the mean square of the series, window and overlap allowing.
 * @throws RangeError  if a setting is out of its range.
 * Source: P. D. Welch, IEEE Trans. Audio Electroacoust. AU-15, 1967; scaled by fs Σw² as a density.
 */
export function welch(
  x: Float64Array,
  sampleHz: number,
  settings: WelchSettings,
  segments: readonly Segment[] = [{ start: 0, end: x.length }],
): Spectrum {
  const { blockSamples: size, overlapSamples } = checked(settings, sampleHz);
  const periodogram = new Periodogram(settings);
  const density = new Float64Array(size / 2 + 1);
  let blocks = 0;
  for (const { start, end } of segments) {
    for (let from = start; from + size <= end; from += size - overlapSamples)
      if (periodogram.addTo(density, x, from)) ++blocks;
  }
  const scale = 1 / (blocks * sampleHz * periodogram.windowEnergy);
  for (let k = 0; k < density.length; ++k) {
    // 0 Hz and half the sample rate have no mirror image whose power they stand for.
    const mirrored = k === 0 || k === size / 2 ? 1 : 2;
    density[k] = blocks === 0 ? Number.NaN : density[k]! * scale * mirrored;
  }
  return { frequencyHz: density.map((_, k) => (k * sampleHz) / size), density, blocks };
}

class Periodogram {
  readonly windowEnergy: number;
  private readonly window: Float64Array;
  private readonly fft: FFT;
  private readonly block: Float64Array;
  private readonly spectrum: number[];
  private readonly takesMean: boolean;

  constructor({ blockSamples, window, detrend }: WelchSettings) {
    this.window = makeWindow(window, blockSamples);
    this.windowEnergy = this.window.reduce((sum, w) => sum + w * w, 0);
    this.fft = new FFT(blockSamples);
    this.block = new Float64Array(blockSamples);
    this.spectrum = this.fft.createComplexArray();
    this.takesMean = detrend === 'mean';
  }

  /** Adds |X|² of the block that begins at `from`; false, and nothing added, if it holds a NaN. */
  addTo(sum: Float64Array, x: Float64Array, from: number): boolean {
    const { block, window, spectrum } = this;
    const level = meanOf(x, from, block.length);
    if (Number.isNaN(level)) return false;
    const offset = this.takesMean ? level : 0;
    for (let i = 0; i < block.length; ++i) block[i] = (x[from + i]! - offset) * window[i]!;
    this.fft.realTransform(spectrum, block);
    for (let k = 0; k < sum.length; ++k) {
      const re = spectrum[2 * k]!;
      const im = spectrum[2 * k + 1]!;
      sum[k] = sum[k]! + re * re + im * im;
    }
    return true;
  }
}

function meanOf(x: Float64Array, from: number, length: number): number {
  let sum = 0;
  for (let i = from; i < from + length; ++i) sum += x[i]!;
  return sum / length;
}

function checked(settings: WelchSettings, sampleHz: number): WelchSettings {
  const { blockSamples: size, overlapSamples: overlap } = settings;
  if (!(sampleHz > 0)) throw new RangeError(`sampleHz must be above 0, got ${sampleHz}`);
  if (!(Number.isInteger(Math.log2(size)) && size >= 8))
    throw new RangeError(`blockSamples must be a power of two, 8 or more, got ${size}`);
  if (!(Number.isInteger(overlap) && overlap >= 0 && overlap < size))
    throw new RangeError(`overlapSamples must be a whole number in [0, ${size}), got ${overlap}`);
  return settings;
}
