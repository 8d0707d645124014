import type { MotionLog, Segment } from '../base/log.ts';
import { CHANNELS, type ChannelKey } from './input.ts';

/** A channel that stands at the end of its range, and where. */
export interface Clipping {
  readonly key: ChannelKey;
  readonly name: string;
  readonly kind: 'gyro' | 'accel';
  /** Sample indices, in order. */
  readonly runs: readonly Segment[];
  readonly samples: number;
  /** The values at which it is stuck, one or two. */
  readonly limits: readonly number[];
}

const ROUND_ENDS = {
  gyro: [125, 245, 250, 300, 450, 500, 1000, 2000, 4000],
  accel: [2, 3, 4, 6, 8, 12, 16, 24, 32, 64, 100, 200, 400],
} as const;
/** Data sheets round their sensitivities: 32767 / 16.4 reads 1998 of 2000, 32767 × 0.061 mg reads 1.9988 of 2 g. */
const END_FROM = 0.99;
const END_TO = 1.002;
/** Some parts' codes reach this many times the range that they are named for (32767 × 8.75 mdps / 250 dps). */
const WIDE_END = 1.14688;
/** A smooth peak leaves its top by a code or two; a clipped one is entered or left by more. */
const STEEP_GRAINS = 8;
/**
 * At a value that is no usual end there must be several flat tops, with more samples than this in all: a single value
 * that is held is no end.
 */
const LONG_RUN = 4;
const RUNS_AT_LEAST = 2;
/**
 * The two ends of a range are of one size: where the opposite peak is larger by more than a bias, this one is no end.
 */
const EXCEEDED_BY = 0.03;
/** Flat to a thousandth, and entered and left by more than a hundredth per sample: no smooth top turns so sharply. */
const FLAT_PART = 1e-3;
const CORNER_PART = 0.01;

/** The channels that are stuck at an end, found in the data alone. */
export function findClipping(log: MotionLog): Clipping[] {
  const found: Clipping[] = [];
  for (const { key, name, kind } of CHANNELS) {
    const values = log[key];
    const high = clippedRuns(values, 1, kind);
    const low = clippedRuns(values, -1, kind);
    if (high.length + low.length === 0) continue;
    const runs = [...high, ...low].sort((a, b) => a.start - b.start);
    const limits = [high, low].flatMap((own) => (own[0] ? [values[own[0].start]!] : []));
    found.push({
      key,
      name,
      kind,
      runs,
      limits,
      samples: runs.reduce((n, run) => n + run.end - run.start, 0),
    });
  }
  return found;
}

function clippedRuns(values: Float64Array, sign: 1 | -1, kind: 'gyro' | 'accel'): Segment[] {
  const { top, least, grain } = measure(values, sign);
  if (!(top > 0 && top > least) || -least > top * (1 + EXCEEDED_BY)) return [];
  const ties = runsFrom(values, sign, top);
  const usual = usualRun(values, sign, top);
  const stuck = ties.filter(
    (run) => lengthOf(run) > usual && (lengthOf(run) >= 3 || isSteep(values, run, STEEP_GRAINS * grain)),
  );
  if (isRoundEnd(top, kind) ? stuck.length > 0 : isStuckAnywhere(values, stuck, grain)) return stuck;
  const flat = runsFrom(values, sign, top * (1 - FLAT_PART)).filter((run) =>
    isFlatTop(values, run, top, usual),
  );
  return flat.length >= RUNS_AT_LEAST ? flat : [];
}

function measure(values: Float64Array, sign: 1 | -1): { top: number; least: number; grain: number } {
  let top = Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  let grain = Number.POSITIVE_INFINITY;
  for (let i = 0; i < values.length; ++i) {
    const value = sign * values[i]!;
    if (value > top) top = value;
    if (value < least) least = value;
    const step = i > 0 ? Math.abs(values[i]! - values[i - 1]!) : 0;
    if (step > 0 && step < grain) grain = step;
  }
  return { top, least, grain };
}

function isRoundEnd(top: number, kind: 'gyro' | 'accel'): boolean {
  return ROUND_ENDS[kind].some((end) => {
    return (
      (top >= end * END_FROM && top <= end * END_TO) || Math.abs(top / (end * WIDE_END) - 1) <= FLAT_PART
    );
  });
}

/** Runs of two samples or more at `level` or beyond it. */
function runsFrom(values: Float64Array, sign: 1 | -1, level: number): Segment[] {
  const runs: Segment[] = [];
  let start = -1;
  for (let i = 0; i <= values.length; ++i) {
    const isAt = i < values.length && sign * values[i]! >= level;
    if (isAt && start < 0) start = i;
    if (isAt || start < 0) continue;
    if (i - start >= 2) runs.push({ start, end: i });
    start = -1;
  }
  return runs;
}

function isStuckAnywhere(values: Float64Array, runs: readonly Segment[], grain: number): boolean {
  const steep = runs.filter((run) => isSteep(values, run, STEEP_GRAINS * grain));
  const samples = steep.reduce((sum, run) => sum + lengthOf(run), 0);
  return steep.length >= RUNS_AT_LEAST && samples > LONG_RUN;
}

/** Entered or left by a leap of at least this much. */
function isSteep(values: Float64Array, { start, end }: Segment, leap: number): boolean {
  const into = start > 0 ? Math.abs(values[start]! - values[start - 1]!) : 0;
  const out = end < values.length ? Math.abs(values[end]! - values[end - 1]!) : 0;
  return Math.max(into, out) >= leap;
}

/** A top that is flat except for noise, with a corner on either side. */
function isFlatTop(values: Float64Array, run: Segment, top: number, usual: number): boolean {
  const { start, end } = run;
  if (lengthOf(run) < LONG_RUN || lengthOf(run) <= usual || start === 0 || end === values.length)
    return false;
  const into = Math.abs(values[start]! - values[start - 1]!);
  const out = Math.abs(values[end]! - values[end - 1]!);
  return Math.min(into, out) >= CORNER_PART * top;
}

/** The longest run of one value in the upper half below the top: above 1 where the log repeats its rows. */
function usualRun(values: Float64Array, sign: 1 | -1, top: number): number {
  let longest = 1;
  let run = 1;
  for (let i = 1; i < values.length; ++i) {
    const value = sign * values[i]!;
    run = value > 0.5 * top && value < top * (1 - FLAT_PART) && values[i] === values[i - 1] ? run + 1 : 1;
    if (run > longest) longest = run;
  }
  return longest;
}

function lengthOf({ start, end }: Segment): number {
  return end - start;
}
