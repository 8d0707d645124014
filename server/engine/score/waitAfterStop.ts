import { samplesFromMs } from '../base/sampleCount.ts';
import { type ClosedSamples, firstOpenIn, lastClosedIn } from '../detect/closedRuns.ts';
import { lastBeforeQuiet } from '../detect/speedRuns.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { Extremes } from '../statistics/extremes.ts';

/** A blade has stopped swinging if it stays below the guard's speed for at least this long. */
export const STOP_MS = 1000;

/**
 * The last samples at or above speedDps before stops: none of the samples of the second (STOP_MS) that follows is.
 * Taken from the true speed, so that what the smoothing adds to the wait is part of it. A stop needs its whole second
 * inside one segment. NaN is not at or above.
 */
export function stopIndices(signals: SpeedSignals, speedDps: number): number[] {
  const quietSamples = stopQuietSamples(signals.rateHz);
  const speed = signals.trueSpeedDps;
  const stops: number[] = [];
  for (const { start, end } of signals.segments) {
    let last = -1;
    for (let i = start; i < end; ++i) {
      if (!(speed[i]! >= speedDps)) continue;
      if (last >= 0 && i - last > quietSamples) stops.push(last);
      last = i;
    }
    if (last >= 0 && end - last > quietSamples) stops.push(last);
  }
  return stops;
}

/** The same from one crossing of the speed to the next. @param extremes  of the true speed */
export function findStops(signals: SpeedSignals, extremes: Extremes, speedDps: number): number[] {
  return lastBeforeQuiet(signals.segments, extremes, speedDps, stopQuietSamples(signals.rateHz));
}

/**
 * For each stop the time from it to the guard's opening, in ms; one sample at least. An opening counts if the guard stays
 * open for the rest of the second: a smoothed speed may get to the guard's, or back to it, after the true one has left it.
 * A guard that is still closed where the segment ends gives no wait.
 */
export function waitsMs(signals: SpeedSignals, closed: ClosedSamples, stops: readonly number[]): number[] {
  const quietSamples = stopQuietSamples(signals.rateHz);
  const waits: number[] = [];
  let at = 0;
  for (const stop of stops) {
    while (signals.segments[at]!.end <= stop) ++at;
    const secondEnd = stop + quietSamples;
    const shut = Math.max(stop, lastClosedIn(closed, stop + 1, secondEnd + 1));
    const { end } = signals.segments[at]!;
    const opening = shut < secondEnd ? shut + 1 : firstOpenIn(closed, secondEnd + 1, end);
    if (opening >= 0 && opening < end) waits.push(waitMs(opening - stop, signals.rateHz));
  }
  return waits;
}

/** How many samples after the last one at or above the speed must stay below it. */
export function stopQuietSamples(rateHz: number): number {
  return samplesFromMs(STOP_MS, rateHz);
}

export function waitMs(samples: number, rateHz: number): number {
  return (samples * 1000) / rateHz;
}
