import { segmentAt } from '../base/timeBase.ts';
import type { PressVerdict } from '../detect/presses.ts';
import { sampleOf } from '../detect/pressRule.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';

/** The slow stretch in which a press met an open guard. */
export interface Dip {
  /** When the guard was last high before the press; null where it was not. */
  readonly fromUs: number | null;
  /** When the guard's speed is reached again; null where it is not in this stretch of the log. */
  readonly untilUs: number | null;
  /** The moment that decided, and the speed then. */
  readonly atUs: number;
  readonly speedDps: number;
}

/** The dip around a press that was judged; null for one that was not, or at a moment without data. */
export function dipAt(signals: SpeedSignals, verdict: PressVerdict): Dip | null {
  const { decidedUs, speedDps, lastAboveUs, settings } = verdict;
  const index = decidedUs === null ? null : sampleOf(signals, decidedUs);
  if (decidedUs === null || speedDps === null || Number.isNaN(speedDps) || index === null) return null;
  const { end } = segmentAt(signals.segments, index);
  let next = index;
  while (next < end && signals.swingSpeedDps[next]! < settings.speedDps) ++next;
  const isReached = next < end && signals.swingSpeedDps[next]! >= settings.speedDps;
  return {
    fromUs: lastAboveUs,
    untilUs: isReached ? signals.timeUs[next]! : null,
    atUs: decidedUs,
    speedDps,
  };
}

/** A dip with the speed around it, to be drawn. */
export interface DipPicture extends Dip {
  readonly startUs: number;
  readonly endUs: number;
  /** Times and speeds of the same length; NaN where there are no data. */
  readonly timesUs: readonly number[];
  readonly speedsDps: readonly number[];
}

/** The reach of a picture about a press whose dip has no beginning or no end. */
const REACH_US = 500_000;
const MOST_POINTS = 160;

/** As much of the speed as shows the dip and the swings beside it, thinned to what a small picture needs. */
export function dipPicture(signals: SpeedSignals, verdict: PressVerdict): DipPicture | null {
  const dip = dipAt(signals, verdict);
  if (dip === null) return null;
  const fromUs = Math.max(dip.fromUs ?? dip.atUs - REACH_US, dip.atUs - 2 * REACH_US);
  const untilUs = Math.min(dip.untilUs ?? dip.atUs + REACH_US, dip.atUs + 2 * REACH_US);
  const marginUs = Math.max(200_000, 0.8 * (untilUs - fromUs));
  const [startUs, endUs] = [fromUs - marginUs, untilUs + marginUs];
  const first = firstAtOrAfter(signals.timeUs, startUs);
  const last = firstAtOrAfter(signals.timeUs, endUs);
  const step = Math.max(1, Math.ceil((last - first) / MOST_POINTS));
  const timesUs: number[] = [];
  const speedsDps: number[] = [];
  for (const segment of signals.segments) {
    const end = Math.min(last, segment.end);
    const start = Math.max(first, segment.start);
    if (start >= end) continue;
    if (timesUs.length > 0) {
      timesUs.push(signals.timeUs[start]!);
      speedsDps.push(Number.NaN);
    }
    for (let i = start; i < end; i += step) {
      timesUs.push(signals.timeUs[i]!);
      speedsDps.push(signals.swingSpeedDps[i]!);
    }
  }
  return { ...dip, startUs, endUs, timesUs, speedsDps };
}
