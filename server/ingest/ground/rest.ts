import type { MotionLog } from '../../engine/base/log.ts';

/** Three columns of one length. */
export interface Vector3Columns {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
}

/** What a sensor reads while it moves least. */
export interface RestLevel {
  /** Median magnitude of the mean vector over the quietest blocks. */
  readonly norm: number;
  /** Mean of x, y, z over the quietest blocks. */
  readonly mean: readonly [number, number, number];
  /** How far the magnitude wanders between the quietest blocks, as a share of it (half the middle 80 %). */
  readonly spread: number;
  readonly blocks: number;
}

/** Largest magnitude; 0 for no rows. */
export function peakOf({ x, y, z }: Vector3Columns): number {
  let peak = 0;
  for (let i = 0; i < x.length; ++i) {
    const square = x[i]! * x[i]! + y[i]! * y[i]! + z[i]! * z[i]!;
    if (square > peak) peak = square;
  }
  return Math.sqrt(peak);
}

const BLOCK_ROWS = 16;
const BLOCKS_AT_MOST = 1500;
const QUIET_SHARE = 0.2;

/**
 * Looks at blocks of 16 rows and keeps the fifth whose values vary least: there the accelerometer reads gravity
 * and the gyroscope its bias. NaN level for fewer than two rows.
 * @param quietBy  the columns whose variance picks the blocks (by default the same ones)
 */
export function restLevel(columns: Vector3Columns, quietBy: Vector3Columns = columns): RestLevel {
  const means = quietMeans(columns, quietBy);
  const norms = means.map(([x, y, z]) => Math.sqrt(x * x + y * y + z * z)).sort((a, b) => a - b);
  const norm = nearestRank(norms, 0.5);
  const sum = [0, 0, 0];
  for (const mean of means) for (let axis = 0; axis < 3; ++axis) sum[axis]! += mean[axis]! / means.length;
  return {
    norm,
    mean: sum as unknown as [number, number, number],
    spread: (nearestRank(norms, 0.9) - nearestRank(norms, 0.1)) / (2 * norm),
    blocks: blockStarts(columns.x.length).length,
  };
}

/** Means of x, y, z over the fifth of the blocks of 16 rows that vary least. @param quietBy  the columns whose variance picks them */
export function quietMeans(columns: Vector3Columns, quietBy: Vector3Columns): [number, number, number][] {
  const size = Math.min(BLOCK_ROWS, columns.x.length);
  return quietStarts(quietBy).map((start) => blockMean(columns, start, start + size));
}

/** Quiet blocks already found, by their columns: several questions are asked of the same ones. */
const KNOWN_STARTS = new WeakMap<Vector3Columns, readonly number[]>();

/** First rows of the fifth of the blocks that vary least, the quietest first. */
function quietStarts(columns: Vector3Columns): readonly number[] {
  const known = KNOWN_STARTS.get(columns);
  if (known) return known;
  const starts = blockStarts(columns.x.length);
  const size = Math.min(BLOCK_ROWS, columns.x.length);
  const unrest = starts.map((start) => blockVariance(columns, start, start + size));
  const order = starts.map((_, i) => i).filter((i) => !Number.isNaN(unrest[i]));
  order.sort((a, b) => unrest[a]! - unrest[b]!);
  const quiet = order.slice(0, Math.max(1, Math.ceil(order.length * QUIET_SHARE))).map((i) => starts[i]!);
  KNOWN_STARTS.set(columns, quiet);
  return quiet;
}

/** Half a second of rest, by what a part in common use reads on a table. */
const STILL_S = 0.5;
const STILL_DPS = 3;
const STILL_G = 0.03;

/** True where the sensor lies still for half a second somewhere: only there it can be said what it reads at rest. */
export function liesStill(log: MotionLog): boolean {
  const { timeUs } = log;
  const size = Math.max(4, Math.round((STILL_S * 1e6 * (timeUs.length - 1)) / timeUs.at(-1)!));
  const channels = [
    [log.gyroXDps, log.gyroYDps, log.gyroZDps, STILL_DPS],
    [log.accelXG, log.accelYG, log.accelZG, STILL_G],
  ] as const;
  const isStill = (from: number) =>
    channels.every(([x, y, z, most]) => blockVariance({ x, y, z }, from, from + size) <= most * most);
  for (let from = 0; from + size <= timeUs.length; from += Math.ceil(size / 2))
    if (isStill(from)) return true;
  return false;
}

function blockStarts(rows: number): number[] {
  const count = Math.max(1, Math.floor(rows / BLOCK_ROWS));
  const stride = Math.max(1, Math.ceil(count / BLOCKS_AT_MOST));
  return Array.from({ length: Math.ceil(count / stride) }, (_, i) => i * stride * BLOCK_ROWS);
}

function blockVariance({ x, y, z }: Vector3Columns, from: number, to: number): number {
  return varianceOf(x, from, to) + varianceOf(y, from, to) + varianceOf(z, from, to);
}

function varianceOf(values: Float64Array, from: number, to: number): number {
  const mean = meanOf(values, from, to);
  let sum = 0;
  for (let i = from; i < to; ++i) sum += (values[i]! - mean) * (values[i]! - mean);
  return sum / (to - from);
}

function blockMean({ x, y, z }: Vector3Columns, from: number, to: number): [number, number, number] {
  return [meanOf(x, from, to), meanOf(y, from, to), meanOf(z, from, to)];
}

function meanOf(values: Float64Array, from: number, to: number): number {
  let sum = 0;
  for (let i = from; i < to; ++i) sum += values[i]!;
  return sum / (to - from);
}

/** The value whose rank is nearest, so that it is always one of them: the engine's quantiles lie between two. */
function nearestRank(sorted: readonly number[], share: number): number {
  return sorted[Math.min(sorted.length - 1, Math.round(share * (sorted.length - 1)))] ?? Number.NaN;
}
