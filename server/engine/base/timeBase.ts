import { quickselect } from 'simple-statistics';
import { firstAfter, firstWhere } from '../statistics/sorted.ts';
import {
  MOTION_COLUMNS,
  type MotionColumns,
  type MotionLog,
  type Segment,
  type Span,
  type UniformLog,
} from './log.ts';
import { Scratch } from './scratch.ts';

/**
 * A step longer than this many nominal steps is a gap: nothing is interpolated across it. Two lost rows make three
 * steps; the half leaves room for jitter, so that they are filled in whatever the jitter of the third stamp.
 */
export const GAP_STEPS = 3.5;
/** Steps that differ from the nominal one by no more than this part of it are uniform already. */
const UNIFORM_PART = 0.01;
/**
 * Steps that differ from the median one by no more than this part of it count for the nominal rate; longer ones hold
 * dropped rows. The band is symmetric: stamps in whole milliseconds step by 1, 2 and 3 at 500 Hz, and only all three
 * have the mean 2.
 */
const REGULAR_PART = 0.5;

interface TimeBase {
  readonly uniform: UniformLog;
  /** From the last sample before each gap to the first behind it. */
  readonly gaps: readonly Span[];
  readonly resampled: boolean;
}

/**
 * Puts a log on its uniform grid: gap-free stretches, each interpolated linearly at the nominal rate. A log that is
 * uniform already passes through, with its own arrays.
 * @param log  `timeUs` strictly increasing; every value a finite number.
 * @param saturated  as long as the log; a sample between a saturated and a sound one is saturated.
 * @param scratch  for the columns of the grid: a log that is looked at once need not have fresh ones.
 * @throws RangeError  if the columns differ in length, the times do not increase, or a value is no finite number.
 */
export function buildTimeBase(
  log: MotionLog,
  saturated: Uint8Array = new Uint8Array(log.timeUs.length),
  scratch: Scratch = new Scratch(),
): TimeBase {
  checkLog(log, saturated);
  const stepUs = nominalStepUs(log.timeUs, scratch);
  const raw = splitAtGaps(log.timeUs, stepUs);
  const gaps = raw
    .slice(1)
    .map(({ start }) => ({ startUs: log.timeUs[start - 1]!, endUs: log.timeUs[start]! }));
  const resampled = !raw.every((segment) => isUniform(log.timeUs, segment, stepUs));
  const rateHz = 1e6 / stepUs;
  if (!resampled)
    return { uniform: { ...pick(log), rateHz, stepUs, segments: raw, saturated }, gaps, resampled };
  return { uniform: resample(log, saturated, raw, stepUs, scratch), gaps, resampled };
}

/** Whether a log with these times passes through as it is. @param timeUs  as in a log */
export function isOnGrid(timeUs: Float64Array, scratch: Scratch = new Scratch()): boolean {
  const stepUs = nominalStepUs(timeUs, scratch);
  return splitAtGaps(timeUs, stepUs).every((segment) => isUniform(timeUs, segment, stepUs));
}

/** The step between samples: the mean of those near the median one. One second where there are fewer than two samples. */
function nominalStepUs(timeUs: Float64Array, scratch: Scratch): number {
  if (timeUs.length < 2) return 1e6;
  const firstUs = timeUs[1]! - timeUs[0]!;
  // On an even clock this needs no column of steps.
  if (isMedianStep(timeUs, firstUs)) return meanStepNear(timeUs, firstUs);
  const steps = scratch.column('steps', timeUs.length - 1);
  for (let i = 0; i < steps.length; ++i) steps[i] = timeUs[i + 1]! - timeUs[i]!;
  return meanStepNear(timeUs, upperMedian(steps));
}

/** Mean of the steps near their median: the regular step also where stamps jitter, are coarse, or rows are missing. */
export function meanStepNear(timeUs: Float64Array, medianUs: number): number {
  let sum = 0;
  let count = 0;
  for (let i = 1; i < timeUs.length; ++i) {
    const step = timeUs[i]! - timeUs[i - 1]!;
    if (Math.abs(step - medianUs) > REGULAR_PART * medianUs) continue;
    sum += step;
    ++count;
  }
  return sum / count;
}

/** True where `upperMedian` of all steps is this one. */
function isMedianStep(timeUs: Float64Array, stepUs: number): boolean {
  let [below, equal] = [0, 0];
  for (let i = 1; i < timeUs.length; ++i) {
    const own = timeUs[i]! - timeUs[i - 1]!;
    if (own < stepUs) ++below;
    else if (own === stepUs) ++equal;
  }
  const middle = (timeUs.length - 1) >> 1;
  return below <= middle && middle < below + equal;
}

/** By selection, which reorders the values: on a long log sorting would take most of the time. */
function upperMedian(values: Float64Array): number {
  // the package's types ask for number[]; it only exchanges elements
  quickselect(values as unknown as number[], values.length >> 1);
  return values[values.length >> 1]!;
}

function splitAtGaps(timeUs: Float64Array, stepUs: number): Segment[] {
  const segments: Segment[] = [];
  let start = 0;
  for (let i = 1; i <= timeUs.length; ++i) {
    if (i < timeUs.length && timeUs[i]! - timeUs[i - 1]! <= GAP_STEPS * stepUs) continue;
    segments.push({ start, end: i });
    start = i;
  }
  return timeUs.length === 0 ? [] : segments;
}

function isUniform(timeUs: Float64Array, { start, end }: Segment, stepUs: number): boolean {
  for (let i = start + 1; i < end; ++i) {
    if (Math.abs(timeUs[i]! - timeUs[i - 1]! - stepUs) > UNIFORM_PART * stepUs + 0.5) return false;
  }
  return true;
}

function resample(
  log: MotionLog,
  saturated: Uint8Array,
  raw: readonly Segment[],
  stepUs: number,
  scratch: Scratch,
): UniformLog {
  const segments: Segment[] = [];
  let length = 0;
  for (const { start, end } of raw) {
    const count = Math.floor((log.timeUs[end - 1]! - log.timeUs[start]!) / stepUs + 1e-6) + 1;
    segments.push({ start: length, end: length + count });
    length += count;
  }
  const timeUs = scratch.column('grid timeUs', length);
  const before = new Int32Array(length);
  const part = scratch.column('part', length);
  for (let k = 0; k < raw.length; ++k) {
    placeGrid(log.timeUs, raw[k]!, segments[k]!, stepUs, { timeUs, before, part });
  }
  const marks = new Uint8Array(length);
  for (let i = 0; i < length; ++i)
    marks[i] = saturated[before[i]!]! | (part[i]! > 0 ? saturated[before[i]! + 1]! : 0);
  const columns = Object.fromEntries(
    MOTION_COLUMNS.map((name) => [
      name,
      interpolate(log[name], before, part, scratch.column(`grid ${name}`, length)),
    ]),
  );
  return {
    ...(columns as unknown as MotionColumns),
    timeUs,
    rateHz: 1e6 / stepUs,
    stepUs,
    segments,
    saturated: marks,
  };
}

interface Grid {
  readonly timeUs: Float64Array;
  /** The raw sample at or before each grid point, and the point's place between it and the next one, 0 to 1. */
  readonly before: Int32Array;
  readonly part: Float64Array;
}

function placeGrid(rawUs: Float64Array, from: Segment, to: Segment, stepUs: number, grid: Grid): void {
  let k = from.start;
  const last = from.end - 1;
  for (let i = to.start; i < to.end; ++i) {
    const tUs = Math.min(rawUs[last]!, rawUs[from.start]! + Math.round((i - to.start) * stepUs));
    while (k < last && rawUs[k + 1]! <= tUs) ++k;
    grid.timeUs[i] = tUs;
    grid.before[i] = k;
    grid.part[i] = k < last ? (tUs - rawUs[k]!) / (rawUs[k + 1]! - rawUs[k]!) : 0;
  }
}

function interpolate(
  values: Float64Array,
  before: Int32Array,
  part: Float64Array,
  out: Float64Array,
): Float64Array {
  for (let i = 0; i < out.length; ++i) {
    const a = values[before[i]!]!;
    out[i] = part[i] === 0 ? a : a + part[i]! * (values[before[i]! + 1]! - a);
  }
  return out;
}

/** Index of the last time at or before `tUs`; -1 where there is none. */
export function indexAtOrBefore(timeUs: Float64Array, tUs: number): number {
  return firstAfter(timeUs, tUs) - 1;
}

/** The segment that holds a sample; segments in order. @throws RangeError  if none does. */
export function segmentAt(segments: readonly Segment[], index: number): Segment {
  const found = segments[firstWhere(segments.length, (k) => segments[k]!.end > index)];
  if (!found || !(index >= found.start)) throw new RangeError(`no segment holds sample ${index}`);
  return found;
}

/** Samples of the longest segment; 0 where there is none. */
export function longestSegment(segments: readonly Segment[]): number {
  let longest = 0;
  for (const { start, end } of segments) if (end - start > longest) longest = end - start;
  return longest;
}

function pick(log: MotionLog): MotionLog {
  const { timeUs, gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG } = log;
  return { timeUs, gyroXDps, gyroYDps, gyroZDps, accelXG, accelYG, accelZG };
}

function checkLog(log: MotionLog, saturated: Uint8Array): void {
  const { length } = log.timeUs;
  for (const name of MOTION_COLUMNS) {
    const column = log[name];
    if (column.length !== length)
      throw new RangeError(`${name} has ${column.length} samples, timeUs ${length}`);
    checkFinite(column, name);
  }
  if (saturated.length !== length)
    throw new RangeError(`saturated has ${saturated.length} samples, timeUs ${length}`);
  checkFinite(log.timeUs, 'timeUs');
  for (let i = 1; i < length; ++i) {
    if (!(log.timeUs[i]! > log.timeUs[i - 1]!))
      throw new RangeError(`timeUs does not increase at sample ${i}`);
  }
}

/** A filter would carry a NaN on to the end of its segment. */
function checkFinite(values: Float64Array, name: string): void {
  for (let i = 0; i < values.length; ++i) {
    if (!Number.isFinite(values[i]!)) throw new RangeError(`${name} is ${values[i]} at sample ${i}`);
  }
}
