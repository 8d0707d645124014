import type { Press } from '../base/log.ts';
import { indexAtOrBefore, segmentAt } from '../base/timeBase.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { type GuardSettings, guardReachSamples } from './guard.ts';

export type { Intent } from '../labels/labels.ts';

/** Which part of the guard refused a press: the speed at that moment, the release ratio, or the hold. */
export type Refusal = 'speed' | 'release' | 'hold';

/** What the guard made of one press of the power button, and why. */
export interface PressVerdict {
  readonly press: Press;
  /** Its place among the presses given. */
  readonly pressIndex: number;
  /** The moment that was judged: when the button went down, or was let go; null where that is not known. */
  readonly decidedUs: number | null;
  /** null where there is no motion data at that moment, or no such moment. */
  readonly accepted: boolean | null;
  readonly refusedBy: Refusal | null;
  /** Swing speed at the last sample at or before that moment. */
  readonly speedDps: number | null;
  /**
   * When the guard last saw a swing: the last sample at or above speedDps or, once there, still at or above
   * releaseRatio * speedDps. null where there is none; for an accepted press, where the guard
   * was open for LOOK_BACK_MS.
   */
  readonly lastAboveUs: number | null;
  /** From that sample to the one that was judged. */
  readonly beforeMs: number | null;
  /** How much of the hold is left, where it refused the press. */
  readonly holdLeftMs: number | null;
  /** Why nothing is known: the log does not say when the button was let go, or has no motion then. */
  readonly unknown: 'release' | 'motion' | null;
  readonly settings: GuardSettings;
}

const NOTHING = {
  accepted: null,
  refusedBy: null,
  speedDps: null,
  lastAboveUs: null,
  beforeMs: null,
  holdLeftMs: null,
} as const;

/** How far before an accepted press a swing is looked for, to say when it was. */
export const LOOK_BACK_MS = 10_000;

/**
 * One verdict a press, in the order of `presses`; all presses are taken for presses of the power button.
 * @param closed  as `runGuard` gives it for the same signals and settings.
 */
export function judgePresses(
  signals: SpeedSignals,
  closed: Uint8Array,
  presses: readonly Press[],
  settings: GuardSettings,
): PressVerdict[] {
  return presses.map((press, pressIndex) => {
    const decidedUs = decisionUs(press, settings);
    const index = decidedUs === null ? null : sampleOf(signals, decidedUs);
    if (index !== null)
      return {
        press,
        pressIndex,
        decidedUs,
        settings,
        unknown: null,
        ...judge(signals, closed, index, settings),
      };
    return {
      press,
      pressIndex,
      decidedUs,
      settings,
      unknown: decidedUs === null ? 'release' : 'motion',
      ...NOTHING,
    };
  });
}

/** The moment at which a press is judged; null where the log does not hold it. */
export function decisionUs(press: Press, settings: GuardSettings): number | null {
  return settings.decideAt === 'press' ? press.downUs : press.upUs;
}

/** The last sample at or before a moment, or null before the data, after it, and in a gap. */
export function sampleOf(
  { timeUs, segments, rateHz }: Pick<SpeedSignals, 'timeUs' | 'segments' | 'rateHz'>,
  momentUs: number,
): number | null {
  const index = indexAtOrBefore(timeUs, momentUs);
  if (index < 0) return null;
  if (momentUs - timeUs[index]! <= Math.ceil(1e6 / rateHz)) return index;
  // within a segment a step may be a little longer than the nominal one
  return index + 1 < segmentAt(segments, index).end ? index : null;
}

function judge(signals: SpeedSignals, closed: Uint8Array, index: number, settings: GuardSettings) {
  const { timeUs, swingSpeedDps, rateHz } = signals;
  const accepted = closed[index] === 0;
  const last = accepted
    ? lastHighBefore(signals, closed, index, settings)
    : lastHighOfClosed(signals, index, settings);
  const speedDps = swingSpeedDps[index]!;
  const refusedBy = accepted ? null : refusalOf(speedDps, last === index, settings);
  const lastAboveUs = last === null ? null : timeUs[last]!;
  const beforeMs = lastAboveUs === null ? null : (timeUs[index]! - lastAboveUs) / 1000;
  const samplesLeft = guardReachSamples(settings.holdMs, rateHz) - (index - (last ?? index));
  const leftMs = Math.min(settings.holdMs, Math.ceil((samplesLeft * 1000) / rateHz));
  return {
    accepted,
    refusedBy,
    speedDps,
    lastAboveUs,
    beforeMs,
    holdLeftMs: refusedBy === 'hold' ? leftMs : null,
  };
}

function refusalOf(speedDps: number, isHigh: boolean, settings: GuardSettings): Refusal {
  if (speedDps >= settings.speedDps) return 'speed';
  return isHigh ? 'release' : 'hold';
}

/** For an open guard: it last closed for its whole reach from the sample in question on. */
function lastHighBefore(
  signals: SpeedSignals,
  closed: Uint8Array,
  index: number,
  { holdMs }: GuardSettings,
): number | null {
  const { rateHz } = signals;
  const first = Math.max(
    segmentAt(signals.segments, index).start,
    index - Math.ceil((LOOK_BACK_MS * rateHz) / 1000),
  );
  const lastClosed = closed.subarray(first, index).lastIndexOf(1);
  return lastClosed < 0 ? null : first + lastClosed - guardReachSamples(holdMs, rateHz) + 1;
}

/** For a closed guard: the end of the latest run at or above the release speed that reached the guard's own. */
function lastHighOfClosed(signals: SpeedSignals, index: number, settings: GuardSettings): number | null {
  const speed = signals.swingSpeedDps;
  const releaseDps = settings.releaseRatio * settings.speedDps;
  const first = segmentAt(signals.segments, index).start;
  let runEnd: number | null = null;
  for (let i = index; i >= first; --i) {
    if (!(speed[i]! >= releaseDps)) runEnd = null;
    else runEnd ??= i;
    if (speed[i]! >= settings.speedDps) return runEnd;
  }
  return null;
}
