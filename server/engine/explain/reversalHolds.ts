import { samplesFromMs } from '../base/sampleCount.ts';
import { segmentAt } from '../base/timeBase.ts';
import type { GuardSettings } from '../detect/guard.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { settingAt } from '../settings/candidateRules.ts';
import { firstHoldCovering, holdTails } from '../sweep/holdBins.ts';
import { firstBelow, type Reversal } from '../truth/reversals.ts';

/** The longest hold that can be set: a longer dip cannot be bridged. */
const LONGEST_HOLD_MS = settingAt('guard.holdMs').max;

/**
 * The hold that a guard needs to stay closed through a reversal, in whole samples: from its last high sample before the
 * reversal to the next one at or above its speed. With releaseRatio 1 that is the dip's width; below 1 the guard is
 * high for longer. 0 where it is high throughout; null where no hold up to `mostSamples` helps, or where the speed is
 * not reached on both sides before the next gap or NaN.
 */
export function holdNeededSamples(
  signals: SpeedSignals,
  reversal: Pick<Reversal, 'index'>,
  { speedDps, releaseRatio }: Pick<GuardSettings, 'speedDps' | 'releaseRatio'>,
  mostSamples: number = samplesFromMs(LONGEST_HOLD_MS, signals.rateHz),
): number | null {
  const speed = signals.swingSpeedDps;
  const { start, end } = segmentAt(signals.segments, reversal.index);
  const inside = firstBelow(speed, signals.timeUs, reversal.index, speedDps, end);
  if (inside === null) return 0;
  const levels = { speedDps, releaseDps: releaseRatio * speedDps };
  let last = lastHighBefore(speed, start, inside, levels, mostSamples);
  if (last === null) return null;
  for (let i = last + 1; i < end && i - last <= mostSamples && !Number.isNaN(speed[i]!); ++i) {
    if (speed[i]! >= speedDps) return i === last + 1 ? 0 : i - last;
    if (i === last + 1 && speed[i]! >= levels.releaseDps) last = i;
  }
  return null;
}

/**
 * The last sample up to `inside` at which a guard is high; null where there is none that `mostSamples` could reach from,
 * or beyond NaN.
 */
function lastHighBefore(
  speed: Float64Array,
  start: number,
  inside: number,
  { speedDps, releaseDps }: { readonly speedDps: number; readonly releaseDps: number },
  mostSamples: number,
): number | null {
  let runEnd: number | null = null;
  for (let i = inside; i >= start && !Number.isNaN(speed[i]!); --i) {
    if (speed[i]! >= speedDps) return runEnd ?? i;
    if (speed[i]! >= releaseDps) runEnd ??= i;
    else runEnd = null;
    if (runEnd === null && inside - i >= mostSamples) return null;
  }
  return null;
}

/**
 * The hold in ms that stands for so many samples: the nearest whole ms, or the next one where the nearest is too short.
 * Since a hold is rounded up to samples, a value up to one sample shorter may do too.
 */
export function holdNeededMs(samples: number, rateHz: number): number {
  const ms = (samples * 1000) / rateHz;
  const nearest = Math.round(ms);
  return samplesFromMs(nearest, rateHz) >= samples ? nearest : Math.ceil(ms);
}

/**
 * The number of reversals at which a guard would be open at some moment, over a grid of settings: the cell of speed s
 * and hold h is at s * holds + h.
 */
export function sweepReversals(args: {
  readonly signals: SpeedSignals;
  readonly reversals: readonly Reversal[];
  readonly releaseRatio: number;
  readonly speedsDps: Float64Array;
  readonly holdsMs: Float64Array;
}): Int32Array {
  const { signals, reversals, releaseRatio, speedsDps } = args;
  const tails = holdTails(args.holdsMs, signals.rateHz);
  const most = tails.at(-1)! + 1;
  const open = new Int32Array(speedsDps.length * tails.length);
  for (const reversal of reversals) {
    speedsDps.forEach((speedDps, s) => {
      const samples = holdNeededSamples(signals, reversal, { speedDps, releaseRatio }, most);
      const enough = samples === null ? tails.length : firstHoldCovering(tails, samples - 1);
      for (let h = 0; h < enough; ++h) open[s * tails.length + h]! += 1;
    });
  }
  return open;
}
