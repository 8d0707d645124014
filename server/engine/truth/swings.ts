import type { Segment, Span } from '../base/log.ts';
import { indexAtOrBefore } from '../base/timeBase.ts';
import { type LabelBy, overlap, type SwingLabel } from '../labels/labels.ts';
import type { RateMotion } from '../motion/motion.ts';
import { findPeaks } from './prominence.ts';

/** One swing of the blade, by its true (zero-phase) speed. */
export interface Swing extends Span {
  readonly peakUs: number;
  readonly peakDps: number;
  /** A saturated sample lies in its top fifth: the peak may have been higher. */
  readonly saturated: boolean;
  readonly by: LabelBy;
}

/** A peak of the true speed is proposed as a swing if it is this high, */
export const SWING_MIN_PEAK_DPS = 90;
/** stands out from the dips beside it by this much, */
const SWING_MIN_PROMINENCE_DPS = 60;
/** and by this part of its own height: waves on top of a steady spin are no swings. */
const SWING_MIN_PROMINENCE_RATIO = 0.3;
/** A swing starts and ends at this part of its peak, or at the lowest sample between it and the next swing. */
const SWING_BOUND_RATIO = 0.1;
const TOP_RATIO = 0.8;

/** Swings in time order, none over another, none across a gap. */
export function proposeSwings(motion: RateMotion): Swing[] {
  return motion.segments.flatMap((segment) => swingsIn(motion, segment));
}

/**
 * The swings that scores use, in time order: the labelled ones, and the proposed ones that no label overlaps. A
 * person's label replaces labels of others that it overlaps.
 */
export function settleSwings(
  motion: RateMotion,
  proposed: readonly Swing[],
  labels: readonly SwingLabel[],
): Swing[] {
  const given = labels.filter((label) => label.by === 'person');
  const others = labels.filter((label) => label.by !== 'person' && !given.some((own) => overlap(own, label)));
  const swings = [...given, ...others].map((label) => measured(motion, label));
  const left = proposed.filter((swing) => !labels.some((label) => overlap(label, swing)));
  return [...swings, ...left].sort((a, b) => a.peakUs - b.peakUs);
}

function swingsIn(motion: RateMotion, { start, end }: Segment): Swing[] {
  const speed = motion.trueSpeedDps.subarray(start, end);
  const peaks = findPeaks(speed, { minHeight: SWING_MIN_PEAK_DPS, minProminence: SWING_MIN_PROMINENCE_DPS })
    .filter((peak) => peak.prominence >= SWING_MIN_PROMINENCE_RATIO * speed[peak.index]!)
    .map((peak) => peak.index);
  const swings: Swing[] = [];
  let from = 0;
  peaks.forEach((peak, k) => {
    const next = peaks[k + 1];
    const to = next === undefined ? speed.length - 1 : lowestBetween(speed, peak, next);
    swings.push(swingAt(motion, start, speed, { from, peak, to }));
    from = to;
  });
  return swings;
}

function swingAt(
  motion: RateMotion,
  offset: number,
  speed: Float64Array,
  { from, peak, to }: { readonly from: number; readonly peak: number; readonly to: number },
): Swing {
  const peakDps = speed[peak]!;
  let first = peak;
  while (first > from && speed[first - 1]! >= SWING_BOUND_RATIO * peakDps) --first;
  let last = peak;
  while (last < to && speed[last + 1]! >= SWING_BOUND_RATIO * peakDps) ++last;
  const [start, end, top] = [offset + first, offset + last, offset + peak];
  const { timeUs } = motion;
  const saturated = isTopSaturated(motion, top, start, end);
  return {
    startUs: timeUs[start]!,
    endUs: timeUs[end]!,
    peakUs: timeUs[top]!,
    peakDps,
    saturated,
    by: 'program',
  };
}

function measured(motion: RateMotion, label: SwingLabel): Swing {
  const { timeUs, trueSpeedDps } = motion;
  const top = Math.max(0, indexAtOrBefore(timeUs, label.peakUs));
  const start = Math.max(0, indexAtOrBefore(timeUs, label.startUs));
  const end = Math.max(top, indexAtOrBefore(timeUs, label.endUs));
  const { startUs, endUs, peakUs, by } = label;
  const peakDps = trueSpeedDps[top] ?? Number.NaN;
  return { startUs, endUs, peakUs, peakDps, saturated: isTopSaturated(motion, top, start, end), by };
}

function isTopSaturated(motion: RateMotion, top: number, start: number, end: number): boolean {
  const { saturated, trueSpeedDps } = motion;
  const level = TOP_RATIO * trueSpeedDps[top]!;
  for (let i = top; i >= start && trueSpeedDps[i]! >= level; --i) if (saturated[i] === 1) return true;
  for (let i = top; i <= end && trueSpeedDps[i]! >= level; ++i) if (saturated[i] === 1) return true;
  return false;
}

/** Index of the lowest sample from `from` to `to`, both included; of equal ones the first. */
export function lowestBetween(speed: Float64Array, from: number, to: number): number {
  let lowest = from;
  for (let i = from; i <= to; ++i) if (speed[i]! < speed[lowest]!) lowest = i;
  return lowest;
}
