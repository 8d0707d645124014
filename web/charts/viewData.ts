import type { Segment } from '../../server/engine/base/log.ts';
import { EXTREMES_BLOCK, type Extremes, extremesOver } from '../../server/engine/statistics/extremes.ts';
import { firstAtOrAfter } from '../../server/engine/statistics/sorted.ts';
import type { TimeWindow } from '../state/model.ts';

/**
 * What a chart draws of one or more channels: seconds, and per channel values with NaN where nothing is known. Typed, for it
 * is made anew in every frame of a zoom: lists that mix numbers and null would keep each number by itself.
 */
export interface ViewData {
  readonly seconds: Float64Array;
  readonly channels: readonly Float64Array[];
  /** Every two points are the lowest and the highest of a column of so many samples that no line is to be seen in it. */
  readonly isDense: boolean;
}

/** From so many samples a column on. */
const DENSE_SAMPLES = 30;
/** From here on a column may be a block wider than a pixel's: a quarter at most. */
const ALIGNED_SAMPLES = 4 * EXTREMES_BLOCK;

interface Timeline {
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
}

/** What is in sight of a segment. */
interface Stretch {
  readonly start: number;
  readonly end: number;
  /** Samples a column; null where each is drawn by itself. */
  readonly width: number | null;
}

/**
 * Channels over a window, at most two points (lowest, highest) for each of `columns` pixel columns; the samples
 * themselves where they are fewer. Segments are kept apart by a NaN, so that no line crosses a gap.
 */
export function viewData(
  { timeUs, segments }: Timeline,
  channels: readonly Extremes[],
  window: TimeWindow,
  columns: number,
): ViewData {
  const perColumnUs = (window.endUs - window.startUs) / Math.max(1, columns);
  const from = firstAtOrAfter(timeUs, window.startUs) - 1;
  const to = firstAtOrAfter(timeUs, window.endUs) + 1;
  let isDense = true;
  let most = 0;
  const stretches: Stretch[] = [];
  for (const segment of segments) {
    const start = Math.max(segment.start, from);
    const end = Math.min(segment.end, to);
    if (start >= end) continue;
    const perColumn = ((end - start) * perColumnUs) / Math.max(1, timeUs[end - 1]! - timeUs[start]!);
    if (perColumn < DENSE_SAMPLES) isDense = false;
    const width = perColumn <= 2 ? null : columnWidth(perColumn);
    stretches.push({ start, end, width });
    most += 1 + (width === null ? end - start : 2 * (Math.ceil((end - start) / width) + 1));
  }
  const data = { seconds: new Float64Array(most), channels: channels.map(() => new Float64Array(most)) };
  let length = 0;
  for (const stretch of stretches) {
    if (length > 0) length = addGap(data, length, timeUs[stretch.start]!);
    length =
      stretch.width === null
        ? addSamples(data, length, timeUs, channels, stretch)
        : addColumns(data, length, timeUs, channels, stretch, stretch.width);
  }
  const used = (list: Float64Array): Float64Array => list.subarray(0, length);
  return { seconds: used(data.seconds), channels: data.channels.map(used), isDense };
}

/** In samples. Wide columns are whole blocks of the extremes, so that no sample by itself is looked at. */
function columnWidth(samplesPerColumn: number): number {
  if (samplesPerColumn < ALIGNED_SAMPLES) return Math.floor(samplesPerColumn);
  return Math.ceil(samplesPerColumn / EXTREMES_BLOCK) * EXTREMES_BLOCK;
}

/** What is being filled from place `at` on; each of these says where the next place is. */
type Filled = Omit<ViewData, 'isDense'>;

function addGap(data: Filled, at: number, tUs: number): number {
  data.seconds[at] = (tUs - 1) / 1e6;
  for (const channel of data.channels) channel[at] = Number.NaN;
  return at + 1;
}

function addSamples(
  data: Filled,
  at: number,
  timeUs: Float64Array,
  channels: readonly Extremes[],
  { start, end }: Stretch,
): number {
  for (let i = start; i < end; ++i) data.seconds[at + i - start] = timeUs[i]! / 1e6;
  for (let c = 0; c < channels.length; ++c)
    data.channels[c]!.set(channels[c]!.values.subarray(start, end), at);
  return at + end - start;
}

/** Columns start at multiples of their width: a pan shifts the same points instead of choosing others. */
function addColumns(
  data: Filled,
  at: number,
  timeUs: Float64Array,
  channels: readonly Extremes[],
  { start, end }: Stretch,
  width: number,
): number {
  const pair = new Float64Array(2);
  let next = at;
  let fromUs = timeUs[start]!;
  for (let from = start; from < end; next += 2) {
    const to = Math.min(end, (Math.floor(from / width) + 1) * width);
    // One look for each column: in an hour's times each is memory that nothing has touched yet.
    const toUs = timeUs[Math.min(to, end - 1)]!;
    data.seconds[next] = fromUs / 1e6;
    data.seconds[next + 1] = (fromUs + toUs) / 2e6;
    fromUs = toUs;
    for (let c = 0; c < channels.length; ++c) {
      extremesOver(channels[c]!, from, to, pair);
      data.channels[c]![next] = finiteOrNaN(pair[0]!);
      data.channels[c]![next + 1] = finiteOrNaN(pair[1]!);
    }
    from = to;
  }
  return next;
}

/** Of a column in which nothing is known, the lowest is Infinity. */
function finiteOrNaN(value: number): number {
  return Number.isFinite(value) ? value : Number.NaN;
}
