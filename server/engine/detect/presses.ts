import type { Press } from '../base/log.ts';
import { indexAtOrBefore, segmentAt } from '../base/timeBase.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { type GuardSettings, guardReachSamples } from './guard.ts';
import { roundedMs, shownSpeed } from './wording.ts';

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
  /** A sentence for the performer. */
  readonly reason: string;
}

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
    const unknown = (why: string): PressVerdict => {
      const nothing = { accepted: null, refusedBy: null, speedDps: null, lastAboveUs: null };
      return { press, pressIndex, decidedUs, ...nothing, reason: `unknown: ${why}` };
    };
    if (decidedUs === null) return unknown('the log does not say when it was let go');
    const index = sampleOf(signals, decidedUs);
    if (index === null) return unknown(`no motion data ${at(settings)}`);
    const judged = judge(signals, closed, index, settings);
    return { press, pressIndex, decidedUs, speedDps: signals.swingSpeedDps[index]!, ...judged };
  });
}

/** The moment at which a press is judged; null where the log does not hold it. */
export function decisionUs(press: Press, settings: GuardSettings): number | null {
  return settings.decideAt === 'press' ? press.downUs : press.upUs;
}

/** The last sample at or before a moment, or null before the data, after it, and in a gap. */
export function sampleOf(signals: SpeedSignals, momentUs: number): number | null {
  const { timeUs, segments, rateHz } = signals;
  const index = indexAtOrBefore(timeUs, momentUs);
  if (index < 0) return null;
  if (momentUs - timeUs[index]! <= Math.ceil(1e6 / rateHz)) return index;
  // within a segment a step may be a little longer than the nominal one
  return index + 1 < segmentAt(segments, index).end ? index : null;
}

interface Moment {
  readonly signals: SpeedSignals;
  readonly settings: GuardSettings;
  readonly index: number;
  /** The sample at which the guard last saw a swing. */
  readonly last: number | null;
}

function judge(signals: SpeedSignals, closed: Uint8Array, index: number, settings: GuardSettings) {
  const accepted = closed[index] === 0;
  const last = accepted
    ? lastHighBefore(signals, closed, index, settings)
    : lastHighOfClosed(signals, index, settings);
  const moment: Moment = { signals, settings, index, last };
  const refusedBy = accepted ? null : refusalOf(moment);
  const lastAboveUs = last === null ? null : signals.timeUs[last]!;
  return { accepted, refusedBy, lastAboveUs, reason: reasonOf(moment, refusedBy) };
}

function refusalOf({ signals, settings, index, last }: Moment): Refusal {
  if (signals.swingSpeedDps[index]! >= settings.speedDps) return 'speed';
  return last === index ? 'release' : 'hold';
}

function reasonOf(moment: Moment, refusedBy: Refusal | null): string {
  const { signals, settings, index } = moment;
  const now = `${shownSpeed(signals.swingSpeedDps[index]!, settings.speedDps)} ${at(settings)}`;
  switch (refusedBy) {
    case null:
      return `let through: ${now}, ${beforeText(moment)}, ${holdText(settings)}`;
    case 'speed':
      return `refused by the speed: ${now}, not below ${settings.speedDps} °/s`;
    case 'release':
      return `refused by the release ratio: ${now}, not yet below ${releaseText(settings)}`;
    case 'hold':
      return `refused by the hold: ${now}, ${beforeText(moment)}, ${holdLeftText(moment)}`;
  }
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

function beforeText({ signals, settings, index, last }: Moment): string {
  if (last === null) return `not at ${settings.speedDps} °/s in the ${LOOK_BACK_MS / 1000} s before`;
  const beforeMs = (signals.timeUs[index]! - signals.timeUs[last]!) / 1000;
  return `last above ${releaseText(settings)} ${roundedMs(beforeMs, settings.holdMs)} ms before`;
}

function holdLeftText({ signals, settings, index, last }: Moment): string {
  const { rateHz } = signals;
  const samplesLeft = guardReachSamples(settings.holdMs, rateHz) - (index - (last ?? index));
  const leftMs = Math.min(settings.holdMs, Math.ceil((samplesLeft * 1000) / rateHz));
  return `${leftMs} ms of the hold of ${settings.holdMs} ms left`;
}

function releaseText({ speedDps, releaseRatio }: GuardSettings): string {
  if (releaseRatio === 1) return `${speedDps} °/s`;
  return `${Number((releaseRatio * speedDps).toFixed(1))} °/s (${releaseRatio} of ${speedDps})`;
}

function holdText(settings: GuardSettings): string {
  return settings.holdMs === 0 ? 'no hold' : `hold ${settings.holdMs} ms`;
}

function at(settings: GuardSettings): string {
  return settings.decideAt === 'press' ? 'at the press' : 'at the release';
}
