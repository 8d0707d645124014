import type { Press } from '../base/log.ts';
import { indexAtOrBefore, segmentAt } from '../base/timeBase.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { GuardSettings } from './guard.ts';

/** What of a guard's settings is about the power button. */
export type ButtonRule = Pick<
  GuardSettings,
  'decideAt' | 'heldLimitMs' | 'pressLength' | 'longFromMs' | 'debounceMs'
>;

/** When a press can act: at `fromUs`, or, where it is still refused then, up to `untilUs` while it is held. */
export interface ActWindow {
  readonly fromUs: number;
  readonly untilUs: number;
}

/** Why a press has no such moment. */
export type NoAct =
  /** It is shorter, or longer, than the button answers to: refused, whatever the guard. */
  | 'length'
  /** It belongs to the press before: its button came up for less than the debounce. */
  | 'bounce'
  /** The log does not say when it was let go, and that decides. */
  | 'release';

/**
 * When each press can act, by the rule of the button. A press goes on through pauses shorter than the debounce; so that it
 * was let go is known only once that is over.
 * @param presses  of one button, in time order
 */
export function actWindows(presses: readonly Press[], rule: ButtonRule): readonly (ActWindow | NoAct)[] {
  const windows: (ActWindow | NoAct)[] = [];
  for (let i = 0; i < presses.length; ) {
    const end = bounceEnd(presses, i, rule.debounceMs);
    const { upUs } = presses[end - 1]!;
    windows.push(actWindow(presses[i]!.downUs, upUs === null ? null : upUs + rule.debounceMs * 1000, rule));
    while (++i < end) windows.push('bounce');
  }
  return windows;
}

/** The first press behind those that are one with press `i`. */
function bounceEnd(presses: readonly Press[], i: number, debounceMs: number): number {
  let end = i + 1;
  for (; end < presses.length; ++end) {
    const { upUs } = presses[end - 1]!;
    if (upUs === null) break;
    const pauseUs = presses[end]!.downUs - upUs;
    if (!(pauseUs >= 0 && pauseUs < debounceMs * 1000)) break;
  }
  return end;
}

/** @param upUs  when it is known that the button was let go */
function actWindow(downUs: number, upUs: number | null, rule: ButtonRule): ActWindow | NoAct {
  const { decideAt, pressLength } = rule;
  const longUs = downUs + rule.longFromMs * 1000;
  const needsRelease = pressLength !== 'any' || decideAt !== 'press';
  if (!needsRelease) return { fromUs: downUs, untilUs: downUs };
  if (upUs === null) return 'release';
  if (pressLength !== 'any' && upUs >= longUs !== (pressLength === 'long')) return 'length';
  // That a press is short is known once it is let go.
  if (decideAt === 'release' || pressLength === 'short') return { fromUs: upUs, untilUs: upUs };
  const fromUs = pressLength === 'long' ? longUs : downUs;
  const untilUs =
    decideAt === 'held' ? Math.max(fromUs, Math.min(upUs, fromUs + rule.heldLimitMs * 1000)) : fromUs;
  return { fromUs, untilUs };
}

export interface JudgedSamples {
  readonly first: number;
  /** Among them. */
  readonly last: number;
}

/** The samples at which a window is judged, `last` among them; null where there is no motion all through it. */
export function judgedSamples(
  signals: Pick<SpeedSignals, 'timeUs' | 'segments' | 'rateHz'>,
  { fromUs, untilUs }: ActWindow,
): JudgedSamples | null {
  const first = sampleOf(signals, fromUs);
  const last = sampleOf(signals, untilUs);
  if (first === null || last === null) return null;
  return last < segmentAt(signals.segments, first).end ? { first, last } : null;
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
