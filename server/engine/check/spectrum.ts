import type { MotionColumns } from '../base/log.ts';
import type { SensedMotion } from '../motion/motion.ts';
import { blocksOf, type Spectrum, welch } from '../spectrum/welch.ts';
import { upperMedian } from '../statistics/sorted.ts';
import type { Line } from './line.ts';

/** Swings and figure-eights turn this often. */
export const SWING_BAND_HZ = [0.5, 5] as const;
/** Blocks of four seconds: bins of a quarter of a hertz, fine enough for the band and for a hum. */
const BLOCK_S = 4;
/** The last fifth below half the rate: large power there was larger beyond it, and folds back. */
const EDGE_PART = 0.8;
/** Where more than this share of the power, and at least this speed, lies at the edge, the log cuts motion off. */
const EDGE_SHARE = 0.01;
const EDGE_LEAST_DPS = 2;
/**
 * A hum is a line this many times above the bins around it, above the frequencies of hands, and at least this large.
 */
const HUM_TIMES = 30;
const HUM_FROM_HZ = 13;
const HUM_LEAST_DPS = 3;

/** Power of the three axes together, which no mount changes. */
export interface SpectrumData {
  readonly frequencyHz: Float64Array;
  /** (deg/s)²/Hz */
  readonly rateDensity: Float64Array;
  /** g²/Hz, gravity's slow part included */
  readonly forceDensity: Float64Array;
  readonly blocks: number;
}

/** The spectrum of a motion; null where no stretch is long enough. */
export function measureSpectrum(motion: SensedMotion): SpectrumData | null {
  const { rateHz, segments } = motion;
  const settings = blocksOf(BLOCK_S, rateHz, segments);
  if (!settings) return null;
  const of = (key: keyof MotionColumns): Spectrum => welch(motion[key], rateHz, settings, segments);
  const rate = [of('gyroXDps'), of('gyroYDps'), of('gyroZDps')];
  const force = [of('accelXG'), of('accelYG'), of('accelZG')];
  const { frequencyHz, blocks } = rate[0]!;
  if (blocks === 0) return null;
  return { frequencyHz, rateDensity: sumOf(rate), forceDensity: sumOf(force), blocks };
}

function sumOf(spectra: readonly Spectrum[]): Float64Array {
  const sum = new Float64Array(spectra[0]!.density.length);
  for (const { density } of spectra) for (let k = 0; k < sum.length; ++k) sum[k] = sum[k]! + density[k]!;
  return sum;
}

export interface SpectrumLine extends Line<'spectrum'> {
  /** null where no stretch is long enough or nothing turns. */
  readonly found: {
    readonly swingShare: number;
    /** Share of the power near `halfHz`; where it is large, faster motion folds back. */
    readonly edgeShare: number;
    readonly isFolded: boolean;
    readonly halfHz: number;
    readonly hum: Hum | null;
  } | null;
  readonly isTooShort: boolean;
}

interface Hum {
  readonly frequencyHz: number;
  readonly rmsDps: number;
}

export function checkSpectrum(data: SpectrumData | null): SpectrumLine {
  const halfHz = data?.frequencyHz.at(-1) ?? 0;
  const all = data ? power(data, 0, halfHz) : 0;
  if (!data || !(all > 0)) return { id: 'spectrum', state: 'pass', found: null, isTooShort: !data };
  const edge = power(data, EDGE_PART * halfHz, halfHz);
  const isFolded = edge > EDGE_SHARE * all && Math.sqrt(edge) > EDGE_LEAST_DPS;
  const hum = findHum(data);
  const swingShare = power(data, ...SWING_BAND_HZ) / all;
  return {
    id: 'spectrum',
    state: isFolded || hum ? 'caution' : 'pass',
    found: { swingShare, edgeShare: edge / all, isFolded, halfHz, hum },
    isTooShort: false,
  };
}

function power({ frequencyHz, rateDensity }: SpectrumData, fromHz: number, toHz: number): number {
  const width = frequencyHz[1]!;
  let sum = 0;
  for (let k = 0; k < frequencyHz.length; ++k)
    if (frequencyHz[k]! >= fromHz && frequencyHz[k]! <= toHz) sum += rateDensity[k]! * width;
  return sum;
}

/** The strongest line above its surroundings: its power over the three bins of its window. */
function findHum({ frequencyHz, rateDensity: density }: SpectrumData): Hum | null {
  const width = frequencyHz[1]!;
  let best: Hum | null = null;
  for (let k = Math.ceil(HUM_FROM_HZ / width); k + 1 < density.length; ++k) {
    const beside = [...density.subarray(Math.max(1, k - 12), k - 3), ...density.subarray(k + 4, k + 13)];
    if (!(density[k]! >= HUM_TIMES * upperMedian(beside))) continue;
    const rmsDps = Math.sqrt((density[k - 1]! + density[k]! + density[k + 1]!) * width);
    if (rmsDps >= HUM_LEAST_DPS && rmsDps > (best?.rmsDps ?? 0))
      best = { frequencyHz: frequencyHz[k]!, rmsDps };
  }
  return best;
}
