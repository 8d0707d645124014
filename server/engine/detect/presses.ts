import type { Press } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { type Extremes, lastAtOrAbove, nextNotAtOrAbove } from '../statistics/extremes.ts';
import { type ClosedSamples, firstOpenIn, isClosedAt, lastClosedIn } from './closedRuns.ts';
import { type GuardSettings, guardReachSamples } from './guard.ts';
import { actWindows, type ButtonRule, type JudgedSamples, judgedSamples, type NoAct } from './pressRule.ts';

export type { Intent } from '../labels/labels.ts';

/**
 * What refused a press: of the guard the speed at that moment, the release ratio, or the hold; or its length, which the
 * button does not answer to.
 */
export type Refusal = 'speed' | 'release' | 'hold' | 'length';

/** What the guard made of one press of the power button, and why. */
export interface PressVerdict {
  readonly press: Press;
  /** Its place among the presses given. */
  readonly pressIndex: number;
  /**
   * The moment that decided: when the button went down, was let go, or had been held long enough; of a held press that
   * acts later, the sample at which the guard opened. null where there is none, or it is not known.
   */
  readonly decidedUs: number | null;
  /** How long the button was held before it acted, where it did not at once; else 0. */
  readonly heldMs: number;
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
  /** Why nothing is known: not when it was let go, no motion then; or it is a bounce of the press before, and none. */
  readonly unknown: Exclude<NoAct, 'length'> | 'motion' | null;
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

/** From when on a press acts, and the samples that judge it, null where there is no motion; or why it never does. */
export type PressMoment = NoAct | { readonly fromUs: number; readonly samples: JudgedSamples | null };

/** The moment of each press: the button's rule alone decides, no speed, so that a drag of the guard finds none anew. */
export function findPressMoments(
  signals: Pick<SpeedSignals, 'timeUs' | 'segments' | 'rateHz'>,
  presses: readonly Press[],
  rule: ButtonRule,
): PressMoment[] {
  return actWindows(presses, rule).map((window) =>
    typeof window === 'string' ? window : { fromUs: window.fromUs, samples: judgedSamples(signals, window) },
  );
}

/**
 * One verdict a press, in the order of `presses`; all presses are taken for presses of the power button.
 * @param closed  as `runGuard` or `findClosedRuns` gives it for the same signals and settings.
 * @param moments  as `findPressMoments` gives them; found anew where they are not at hand.
 * @param extremes  of the swing speed, where they are at hand: with them no sample by itself is looked at for the last swing.
 */
export function judgePresses(
  signals: SpeedSignals,
  closed: ClosedSamples,
  presses: readonly Press[],
  settings: GuardSettings,
  moments: readonly PressMoment[] = findPressMoments(signals, presses, settings),
  extremes: Extremes | null = null,
): PressVerdict[] {
  return presses.map((press, pressIndex) => {
    const moment = moments[pressIndex]!;
    if (typeof moment === 'string' || moment.samples === null)
      return notJudged({ press, pressIndex, settings }, moment);
    const { fromUs, samples } = moment;
    const opened = firstOpenIn(closed, samples.first, samples.last + 1);
    const acts = Math.max(samples.first, opened);
    const decidedUs = opened > samples.first ? signals.timeUs[acts]! : fromUs;
    const heldMs = (decidedUs - fromUs) / 1000;
    const { accepted, refusedBy, speedDps, lastAboveUs, beforeMs, holdLeftMs } = judge(
      signals,
      closed,
      acts,
      settings,
      extremes,
    );
    // Field by field: in a drag over thousands of presses, objects put together from others take most of the time.
    return {
      press,
      pressIndex,
      settings,
      heldMs,
      accepted,
      refusedBy,
      speedDps,
      lastAboveUs,
      beforeMs,
      holdLeftMs,
      decidedUs,
      unknown: null,
    };
  });
}

function notJudged(
  named: Pick<PressVerdict, 'press' | 'pressIndex' | 'settings'>,
  moment: PressMoment,
): PressVerdict {
  const nothing = { ...named, heldMs: 0, ...NOTHING };
  if (moment === 'length')
    return { ...nothing, decidedUs: null, unknown: null, accepted: false, refusedBy: 'length' };
  if (typeof moment === 'string') return { ...nothing, decidedUs: null, unknown: moment };
  return { ...nothing, decidedUs: moment.fromUs, unknown: 'motion' };
}

/** Whether a press is accepted that acts at a moment, as `judgePresses` says it; null where it is not known. */
export function isAcceptedAt(closed: ClosedSamples, moment: PressMoment): boolean | null {
  if (moment === 'length') return false;
  if (typeof moment === 'string' || moment.samples === null) return null;
  const { first, last } = moment.samples;
  return firstOpenIn(closed, first, last + 1) >= 0;
}

function judge(
  signals: SpeedSignals,
  closed: ClosedSamples,
  index: number,
  settings: GuardSettings,
  extremes: Extremes | null,
) {
  const { timeUs, swingSpeedDps, rateHz } = signals;
  const accepted = !isClosedAt(closed, index);
  const last = accepted
    ? lastHighBefore(signals, closed, index, settings)
    : lastHighOfClosed(signals, index, settings, extremes);
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
  closed: ClosedSamples,
  index: number,
  { holdMs }: GuardSettings,
): number | null {
  const { rateHz } = signals;
  const first = Math.max(
    segmentAt(signals.segments, index).start,
    index - Math.ceil((LOOK_BACK_MS * rateHz) / 1000),
  );
  const lastClosed = lastClosedIn(closed, first, index);
  return lastClosed < 0 ? null : lastClosed - guardReachSamples(holdMs, rateHz) + 1;
}

/** For a closed guard: the end of the latest run at or above the release speed that reached the guard's own. */
function lastHighOfClosed(
  signals: SpeedSignals,
  index: number,
  settings: GuardSettings,
  extremes: Extremes | null,
): number | null {
  const speed = signals.swingSpeedDps;
  const releaseDps = settings.releaseRatio * settings.speedDps;
  const first = segmentAt(signals.segments, index).start;
  if (extremes !== null) {
    const reached = lastAtOrAbove(extremes, first, index + 1, settings.speedDps);
    return reached < first ? null : nextNotAtOrAbove(extremes, reached, index + 1, releaseDps) - 1;
  }
  let runEnd: number | null = null;
  for (let i = index; i >= first; --i) {
    if (!(speed[i]! >= releaseDps)) runEnd = null;
    else runEnd ??= i;
    if (speed[i]! >= settings.speedDps) return runEnd;
  }
  return null;
}
