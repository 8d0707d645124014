import type { Segment } from '../base/log.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import {
  type Extremes,
  lastAtOrAbove,
  nextAtOrAbove,
  nextBelow,
  nextNotAtOrAbove,
} from '../statistics/extremes.ts';
import { ClosedRuns } from './closedRuns.ts';
import type { DeflectionSettings, runDeflection } from './deflection.ts';
import { stretchesOn } from './deflectionButton.ts';
import { type GuardSettings, guardReachSamples } from './guard.ts';

/*
 * What `runGuard` and `runDeflection` give, to the sample, from one crossing of a level to the next: a step of a drag costs
 * the crossings, not the samples. `extremes` are those of the signals' swing speed.
 */

/** The samples at which the guard is closed. */
export function findClosedRuns(
  signals: Pick<SpeedSignals, 'segments' | 'rateHz'>,
  extremes: Extremes,
  { speedDps, holdMs, releaseRatio }: GuardSettings,
): ClosedRuns {
  const releaseDps = releaseRatio * speedDps;
  // From the last high sample on, that one included.
  const reach = guardReachSamples(holdMs, signals.rateHz);
  const runs: Segment[] = [];
  for (const segment of signals.segments) {
    let start = -1;
    let end = -1;
    for (let from = segment.start; from < segment.end; ) {
      const rise = nextAtOrAbove(extremes, from, segment.end, speedDps);
      if (rise === segment.end) break;
      from = nextNotAtOrAbove(extremes, rise, segment.end, releaseDps);
      if (start >= 0 && rise > end) runs.push({ start, end });
      if (start < 0 || rise > end) start = rise;
      end = Math.min(segment.end, from - 1 + reach);
    }
    if (start >= 0) runs.push({ start, end });
  }
  return new ClosedRuns(runs, extremes.values.length);
}

/** The samples at which a deflection fires; null where nobody knows when its button was held. */
export function findDeflections(
  signals: SpeedSignals,
  extremes: Extremes,
  settings: DeflectionSettings,
): ReturnType<typeof runDeflection> {
  const { speedDps, rearmRatio, restMs, confirmMs } = settings;
  const rearmDps = rearmRatio * speedDps;
  const restSamples = samplesFromMs(restMs, signals.rateHz);
  const confirmSamples = samplesFromMs(confirmMs, signals.rateHz);
  const stretches = stretchesOn(signals, settings);
  if (stretches === 'unknown') return null;
  const fires: number[] = [];
  let next = 0;
  for (const segment of signals.segments) {
    let lastFire = Number.NEGATIVE_INFINITY;
    let from = segment.start;
    for (; next < stretches.length && stretches[next]!.start < segment.end; ++next) {
      const { start, end } = stretches[next]!;
      for (from = Math.max(from, start); from < end; ) {
        const rise = nextAtOrAbove(extremes, from, end, speedDps);
        const onset = rise + confirmSamples;
        if (onset >= end) break;
        from = nextNotAtOrAbove(extremes, rise, onset + 1, speedDps);
        if (from <= onset) continue;
        if (onset - lastFire >= restSamples) {
          lastFire = onset;
          fires.push(onset);
        }
        // It arms again whatever the button.
        from = nextBelow(extremes, onset + 1, segment.end, rearmDps) + 1;
      }
    }
  }
  return Int32Array.from(fires);
}

/**
 * The last samples at or above a level before `quietSamples` or more that are not, each stretch inside one segment. From one
 * such sample on it goes to the last within reach, so that what is passed over costs nothing.
 */
export function lastBeforeQuiet(
  segments: readonly Segment[],
  extremes: Extremes,
  level: number,
  quietSamples: number,
): number[] {
  const found: number[] = [];
  for (const { start, end } of segments) {
    for (let at = nextAtOrAbove(extremes, start, end, level); at < end; ) {
      const beyond = Math.min(end, at + quietSamples + 1);
      const last = lastAtOrAbove(extremes, at + 1, beyond, level);
      if (last > at) {
        at = last;
        continue;
      }
      if (end - at > quietSamples) found.push(at);
      at = nextAtOrAbove(extremes, beyond, end, level);
    }
  }
  return found;
}
