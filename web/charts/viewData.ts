import type { Segment } from '../../server/engine/base/log.ts';
import { EXTREMES_BLOCK, type Extremes, extremesOver } from '../../server/engine/statistics/extremes.ts';
import { firstAtOrAfter } from '../../server/engine/statistics/sorted.ts';
import type { TimeWindow } from '../state/model.ts';

/** What a chart draws of one or more channels: seconds, and per channel values with null where nothing is known. */
export interface ViewData {
  readonly seconds: number[];
  readonly channels: (number | null)[][];
  /** Every two points are the lowest and the highest of a column of so many samples that no line is to be seen in it. */
  isDense: boolean;
}

/** From so many samples a column on. */
const DENSE_SAMPLES = 30;
/** From here on a column may be a block wider than a pixel's: a quarter at most. */
const ALIGNED_SAMPLES = 4 * EXTREMES_BLOCK;

interface Timeline {
  readonly timeUs: Float64Array;
  readonly segments: readonly Segment[];
}

/**
 * Channels over a window, at most two points (lowest, highest) for each of `columns` pixel columns; the samples
 * themselves where they are fewer. Segments are kept apart by a null, so that no line crosses a gap.
 */
export function viewData(
  timeline: Timeline,
  channels: readonly Extremes[],
  window: TimeWindow,
  columns: number,
): ViewData {
  const data: ViewData = { seconds: [], channels: channels.map(() => []), isDense: true };
  const perColumnUs = (window.endUs - window.startUs) / Math.max(1, columns);
  for (const segment of timeline.segments) {
    const start = Math.max(segment.start, firstAtOrAfter(timeline.timeUs, window.startUs) - 1);
    const end = Math.min(segment.end, firstAtOrAfter(timeline.timeUs, window.endUs) + 1);
    if (start >= end) continue;
    if (data.seconds.length > 0) pushGap(data, timeline.timeUs[start]!);
    const samplesPerColumn =
      ((end - start) * perColumnUs) / Math.max(1, timeline.timeUs[end - 1]! - timeline.timeUs[start]!);
    if (samplesPerColumn < DENSE_SAMPLES) data.isDense = false;
    if (samplesPerColumn <= 2) pushSamples(data, timeline.timeUs, channels, start, end);
    else pushColumns(data, timeline.timeUs, channels, start, end, columnWidth(samplesPerColumn));
  }
  return data;
}

/** In samples. Wide columns are whole blocks of the extremes, so that no sample by itself is looked at. */
function columnWidth(samplesPerColumn: number): number {
  if (samplesPerColumn < ALIGNED_SAMPLES) return Math.floor(samplesPerColumn);
  return Math.ceil(samplesPerColumn / EXTREMES_BLOCK) * EXTREMES_BLOCK;
}

function pushGap(data: ViewData, tUs: number): void {
  data.seconds.push((tUs - 1) / 1e6);
  for (const channel of data.channels) channel.push(null);
}

function pushSamples(
  data: ViewData,
  timeUs: Float64Array,
  channels: readonly Extremes[],
  start: number,
  end: number,
): void {
  for (let i = start; i < end; i++) {
    data.seconds.push(timeUs[i]! / 1e6);
    for (let c = 0; c < channels.length; c++) data.channels[c]!.push(finiteOrNull(channels[c]!.values[i]!));
  }
}

/** Columns start at multiples of their width: a pan shifts the same points instead of choosing others. */
function pushColumns(
  data: ViewData,
  timeUs: Float64Array,
  channels: readonly Extremes[],
  start: number,
  end: number,
  width: number,
): void {
  const pair = new Float64Array(2);
  for (let from = start; from < end; ) {
    const to = Math.min(end, (Math.floor(from / width) + 1) * width);
    data.seconds.push(timeUs[from]! / 1e6, (timeUs[from]! + timeUs[to - 1]!) / 2e6);
    for (let c = 0; c < channels.length; c++) {
      extremesOver(channels[c]!, from, to, pair);
      data.channels[c]!.push(finiteOrNull(pair[0]!), finiteOrNull(pair[1]!));
    }
    from = to;
  }
}

function finiteOrNull(value: number): number | null {
  return Number.isFinite(value) ? value : null;
}
