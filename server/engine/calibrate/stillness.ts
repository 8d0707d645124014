import type { UniformLog } from '../base/log.ts';
import { upperMedian } from '../statistics/sorted.ts';
import { lyingPart, type SampleSpan } from './heldInHand.ts';
import { plausibleRests } from './plausibleRests.ts';
import type { StillStretch } from './stillStretch.ts';

const WINDOW_MS = 500;
/** Half a second is as long as a hand can hold still between two moves. */
const LEAST_S = 0.75;
/** A prop that is laid down or picked up moves a little before its noise shows it. */
const EDGE_S = 0.1;
/**
 * Noise that a still sensor may show, whatever its quietest window. The ceilings are a noisy part at a kilohertz, and
 * less than the tremor of a hand.
 */
const GYRO_LIMIT_DPS = { floor: 0.4, ceiling: 1.2 };
const ACCEL_LIMIT_G = { floor: 0.006, ceiling: 0.02 };
const NOISE_FACTOR = 3;
/** A larger mean is a turn, no bias: data sheets of the common parts promise less. */
const MAX_BIAS_DPS = 25;
/** Two still windows of one take differ by drift alone: more is a slow steady turn. */
const MAX_DRIFT_DPS = 2;

interface Window {
  readonly from: number;
  readonly to: number;
  readonly means: readonly number[];
  readonly gyroNoiseDps: number;
  readonly accelNoiseG: number;
}

/**
 * Zero-velocity (rest) detector: rests in time order, each of 0.75 s or more. They are made of windows of 0.5 s in
 * which rate and force both vary no more than the sensor's noise; neighbours are joined, and the edges next to motion
 * cut off. A prop held still in the hand is left out, and so is a rest whose bias contradicts that of longer ones. Not
 * causal: the noise is that of the take's quietest windows.
 */
export function findStillStretches(log: UniformLog): StillStretch[] {
  const windows = measureWindows(log);
  if (windows.length === 0) return [];
  const gyroLimit = limit(
    windows.map((w) => w.gyroNoiseDps),
    GYRO_LIMIT_DPS,
  );
  const accelLimit = limit(
    windows.map((w) => w.accelNoiseG),
    ACCEL_LIMIT_G,
  );
  const quiet = windows.filter((w) => {
    return w.gyroNoiseDps <= gyroLimit && w.accelNoiseG <= accelLimit && gyroMean(w) <= MAX_BIAS_DPS;
  });
  const resting = restingRate(quiet);
  const still = quiet.filter((w) =>
    resting.every((mean, axis) => Math.abs(w.means[axis]! - mean) <= MAX_DRIFT_DPS),
  );
  const rests = join(still, log).map((span) => trimmed(log, span));
  const lying = rests
    .map((span) => lyingPart(log, span, LEAST_S * log.rateHz))
    .filter((span) => span !== null);
  return plausibleRests(lying.map((span) => describe(log, span)));
}

/** The gyro's reading at rest: a turn, however steady and however long, is most likely faster than its bias. */
function restingRate(quiet: readonly Window[]): number[] {
  const slowest = [...quiet].sort((a, b) => gyroMean(a) - gyroMean(b)).slice(0, Math.ceil(quiet.length / 4));
  return [0, 1, 2].map((axis) => upperMedian(slowest.map((w) => w.means[axis]!)));
}

function measureWindows(log: UniformLog): Window[] {
  const length = Math.max(8, Math.round((WINDOW_MS * log.rateHz) / 1000));
  const windows: Window[] = [];
  for (const { start, end } of log.segments) {
    for (let from = start; from + length <= end; from += length >> 1)
      windows.push(measure(log, from, from + length));
  }
  return windows;
}

function measure(log: UniformLog, from: number, to: number): Window {
  const columns = [log.gyroXDps, log.gyroYDps, log.gyroZDps, log.accelXG, log.accelYG, log.accelZG];
  const means: number[] = [];
  const variances: number[] = [];
  for (const column of columns) {
    let sum = 0;
    for (let i = from; i < to; ++i) sum += column[i]!;
    const mean = sum / (to - from);
    let squares = 0;
    for (let i = from; i < to; ++i) squares += (column[i]! - mean) * (column[i]! - mean);
    means.push(mean);
    variances.push(squares / (to - from));
  }
  const norm = (first: number): number =>
    Math.sqrt((variances[first]! + variances[first + 1]! + variances[first + 2]!) / 3);
  return { from, to, means, gyroNoiseDps: norm(0), accelNoiseG: norm(3) };
}

/** Three times the noise of the quietest tenth, within the limits that a still sensor may show. */
function limit(noises: readonly number[], { floor, ceiling }: { floor: number; ceiling: number }): number {
  const sorted = [...noises].sort((a, b) => a - b);
  const quietest = sorted[Math.floor(sorted.length * 0.05)]!;
  return Math.min(ceiling, Math.max(floor, quietest * NOISE_FACTOR));
}

function gyroMean({ means }: Window): number {
  return Math.hypot(means[0]!, means[1]!, means[2]!);
}

function join(windows: readonly Window[], log: UniformLog): SampleSpan[] {
  const joined: { from: number; to: number }[] = [];
  for (const { from, to } of windows) {
    const last = joined.at(-1);
    const isNext =
      last !== undefined &&
      from <= last.to &&
      !log.segments.some(({ start }) => start > last.from && start <= from);
    if (isNext) last.to = to;
    else joined.push({ from, to });
  }
  return joined;
}

/** Cut back where it borders on motion, but not where the log begins or ends. */
function trimmed({ segments, rateHz }: UniformLog, { from, to }: SampleSpan): SampleSpan {
  const edge = Math.round(EDGE_S * rateHz);
  const isStart = segments.some(({ start }) => start === from);
  const isEnd = segments.some(({ end }) => end - to < edge);
  return { from: isStart ? from : from + edge, to: isEnd ? to : to - edge };
}

function describe(log: UniformLog, { from, to }: SampleSpan): StillStretch {
  const { means } = measure(log, from, to);
  return {
    startUs: log.timeUs[from]!,
    endUs: log.timeUs[to - 1]!,
    samples: to - from,
    gyroXDps: means[0]!,
    gyroYDps: means[1]!,
    gyroZDps: means[2]!,
    accelXG: means[3]!,
    accelYG: means[4]!,
    accelZG: means[5]!,
  };
}
