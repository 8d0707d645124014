import { samplesFromMs } from '../base/sampleCount.ts';
import { segmentAt } from '../base/timeBase.ts';
import { isWindowed, type SmoothingSettings } from '../filter/smoothing.ts';
import type { Motion } from '../motion/motion.ts';
import { smoothColumn } from '../motion/signals.ts';
import { blocksOf, type Spectrum, welch } from '../spectrum/welch.ts';
import { firstAtOrAfter, quantileSorted } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';

/** A swing's rise is timed at this share of its own raw peak: there it is steepest, and every swing reaches it. */
const RISE_PART = 0.5;
/** A smoothed peak is looked for until this long after the raw one. */
const LATE_US = 300_000;
export const SPIKE_DPS = 500;
/** The next wrong sample follows when nothing is left of the last one: this many periods of the cutoff later. */
const SPIKE_PERIODS = 4;
const SPIKE_LEAST_MS = 500;
/** Blocks of two seconds: bins of half a hertz. */
const BLOCK_S = 2;

/** The cost of smoothing on a take's swings. */
export interface SmoothingCost {
  readonly swings: number;
  /** Share of each swing's raw peak that is lost; negative where an overshoot adds to it. */
  readonly peakLoss: Spread | null;
  /** Delay from the raw rise through half of the peak to the smoothed rise, ms. */
  readonly latencyMs: Spread | null;
  /**
   * The largest share of a single wrong sample, SPIKE_DPS above its neighbours, that remains after smoothing; wrong
   * samples are placed all over the take, far apart.
   */
  readonly spikeLeft: Spread | null;
  /** Rates across the blade, both axes together, (deg/s)²/Hz; null where no stretch is long enough. */
  readonly spectrum: BeforeAfter | null;
}

export interface Spread {
  readonly median: number;
  readonly worst: number;
  readonly n: number;
}

interface BeforeAfter {
  readonly frequencyHz: Float64Array;
  readonly before: Float64Array;
  readonly after: Float64Array;
}

/** Runs a candidate's smoothing over a take as a prop would, and compares. */
export function smoothingCost(
  motion: Motion,
  smoothing: SmoothingSettings,
  swings: readonly Swing[],
): SmoothingCost {
  const raw = [motion.gyroYDps, motion.gyroZDps] as const;
  const smooth = [smoothColumn(motion, raw[0], smoothing), smoothColumn(motion, raw[1], smoothing)] as const;
  const before = speedOf(raw);
  const after = speedOf(smooth);
  const measured = swings.flatMap((swing) => measureSwing(motion, before, after, swing) ?? []);
  return {
    swings: swings.length,
    peakLoss: spreadOf(measured.map(({ peakLoss }) => peakLoss)),
    latencyMs: spreadOf(measured.flatMap(({ latencyMs }) => latencyMs ?? [])),
    spikeLeft: spreadOf(raw.flatMap((x, axis) => spikesLeft(motion, smoothing, x, smooth[axis]!))),
    spectrum: beforeAfter(motion, raw, smooth),
  };
}

type Axes = readonly [Float64Array, Float64Array];

function speedOf([y, z]: Axes): Float64Array {
  const speed = new Float64Array(y.length);
  for (let i = 0; i < speed.length; ++i) speed[i] = Math.sqrt(y[i]! * y[i]! + z[i]! * z[i]!);
  return speed;
}

/** null for a swing that was labelled where the take holds no motion, or where the blade stands still. */
function measureSwing(
  { timeUs, segments, rateHz }: Motion,
  before: Float64Array,
  after: Float64Array,
  { startUs, endUs }: Swing,
): { peakLoss: number; latencyMs: number | null } | null {
  const start = firstAtOrAfter(timeUs, startUs);
  if (start === timeUs.length || timeUs[start]! > endUs) return null;
  const segment = segmentAt(segments, start);
  const end = Math.min(segment.end, firstAtOrAfter(timeUs, endUs + 1));
  const top = highestIn(before, start, end);
  // The smoothed peak comes after the raw one and before the next swing begins to rise.
  const late = Math.min(segment.end, firstAtOrAfter(timeUs, Math.min(timeUs[top]! + LATE_US, endUs + 1)));
  const peak = before[top]!;
  if (!(peak > 0)) return null;
  const smoothTop = highestIn(after, top, Math.max(late, top + 1));
  const level = RISE_PART * peak;
  const rise = riseThrough(before, start, top, level);
  const smoothRise = riseThrough(after, start, smoothTop, level);
  const latencyMs = rise === null || smoothRise === null ? null : ((smoothRise - rise) * 1000) / rateHz;
  return { peakLoss: 1 - after[smoothTop]! / peak, latencyMs };
}

function highestIn(values: Float64Array, start: number, end: number): number {
  let top = start;
  for (let i = start; i < end; ++i) if (values[i]! > values[top]!) top = i;
  return top;
}

/** Place of the last rise through a level before `top`, in samples, interpolated; null where there is none. */
function riseThrough(values: Float64Array, start: number, top: number, level: number): number | null {
  for (let i = top; i > start; --i) {
    if (values[i - 1]! < level && values[i]! >= level)
      return i - 1 + (level - values[i - 1]!) / (values[i]! - values[i - 1]!);
  }
  return null;
}

/** The largest change of the smoothed axis after each wrong sample, as a share of it. */
function spikesLeft(
  motion: Motion,
  smoothing: SmoothingSettings,
  x: Float64Array,
  clean: Float64Array,
): number[] {
  const settledMs = isWindowed(smoothing.kind)
    ? smoothing.lengthMs
    : (SPIKE_PERIODS * 1000) / smoothing.cutoffHz;
  const apart = 1 + samplesFromMs(Math.max(SPIKE_LEAST_MS, settledMs), motion.rateHz);
  const spiked = x.slice();
  const places: number[] = [];
  for (const { start, end } of motion.segments)
    for (let i = start + apart; i + apart <= end; i += apart) places.push(i);
  for (const i of places) spiked[i] = spiked[i]! + SPIKE_DPS;
  const after = smoothColumn(motion, spiked, smoothing);
  return places.map((place) => {
    let most = 0;
    for (let i = place; i < place + apart; ++i) most = Math.max(most, Math.abs(after[i]! - clean[i]!));
    return most / SPIKE_DPS;
  });
}

function spreadOf(values: readonly number[]): Spread | null {
  if (values.length === 0) return null;
  const sorted = Float64Array.from(values).sort();
  return { median: quantileSorted(sorted, 0.5), worst: sorted.at(-1)!, n: sorted.length };
}

function beforeAfter({ rateHz, segments }: Motion, raw: Axes, smooth: Axes): BeforeAfter | null {
  const settings = blocksOf(BLOCK_S, rateHz, segments);
  if (!settings) return null;
  const [rawY, rawZ, smoothY, smoothZ] = [...raw, ...smooth].map((axis) =>
    welch(axis, rateHz, settings, segments),
  ) as [Spectrum, Spectrum, Spectrum, Spectrum];
  return {
    frequencyHz: rawY.frequencyHz,
    before: rawY.density.map((density, k) => density + rawZ.density[k]!),
    after: smoothY.density.map((density, k) => density + smoothZ.density[k]!),
  };
}
