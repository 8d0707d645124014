import { upperMedian } from '../statistics/sorted.ts';
import type { AllanPoint } from './allan.ts';

/** Noise figures of a sensor at rest, read off an Allan curve, in the series' unit (deg/s or g). */
export interface NoiseFigures {
  /** White noise, unit per √Hz: N of σ(τ) = N / √τ. null where no part of the curve falls like that. */
  readonly densityPerRootHz: number | null;
  /**
   * Bias instability: the curve's least deviation / 0.6643, from where it begins to fall; before that it may rise, as a
   * sensor's own filter correlates neighbouring samples. null where it is still falling at its end, or never falls.
   */
  readonly biasInstability: { readonly value: number; readonly tauS: number } | null;
}

/** σ = B √(2 ln 2 / π) on the flat part. IEEE Std 952-1997, Annex C [recomputed]. */
const FLAT = Math.sqrt((2 * Math.LN2) / Math.PI);
/** Points whose slope, log to log, is this near to -1/2 belong to white noise. */
const SLOPE_BAND = 0.15;

/** Figures read off a curve in time order. */
export function readNoiseFigures(curve: readonly AllanPoint[]): NoiseFigures {
  const white: number[] = [];
  for (let k = 1; k < curve.length; ++k) {
    const [a, b] = [curve[k - 1]!, curve[k]!];
    const slope = Math.log(b.deviation / a.deviation) / Math.log(b.tauS / a.tauS);
    if (Math.abs(slope + 0.5) <= SLOPE_BAND) white.push(b.deviation * Math.sqrt(b.tauS));
  }
  return { densityPerRootHz: white.length > 0 ? upperMedian(white) : null, biasInstability: flattest(curve) };
}

function flattest(curve: readonly AllanPoint[]): NoiseFigures['biasInstability'] {
  const falls = curve.findIndex(({ deviation }, k) => k > 0 && deviation < curve[k - 1]!.deviation);
  if (falls < 0) return null;
  const least = curve.slice(falls).reduce((best, point) => (point.deviation < best.deviation ? point : best));
  if (least === curve.at(-1)) return null;
  return { value: least.deviation / FLAT, tauS: least.tauS };
}
