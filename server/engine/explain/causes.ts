import type { Segment, Span } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import { type ClosedSamples, firstClosedIn, isClosedAt } from '../detect/closedRuns.ts';
import type { GuardSettings } from '../detect/guard.ts';
import type { PressVerdict } from '../detect/presses.ts';
import { sampleOf } from '../detect/pressRule.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import { dipWidthUs, REVERSAL_TURN_DEG } from '../truth/reversals.ts';
import type { Truth } from '../truth/truth.ts';
import { type Fix, smallestFixes } from './fixes.ts';

/**
 * Why a press was let through, with what shows it; in the order in which the causes are looked for:
 * - gap: the guard had seen a swing, and its hold would have reached the press, but a gap in the log lies between;
 * - clipping: the blade was as fast as the sensor can tell, and that is below the guard's speed;
 * - decidedAtRelease: closed when the button went down, open when it was let go;
 * - smoothingDelay: the true speed was at or above the guard's, the smoothed one not yet;
 * - beforeFirstClosing: early in a spin in which the guard closes only later;
 * - reversalDip: between two swings where the blade goes back;
 * - slowPart: anywhere else in a spin;
 * - notSpinning: in no spin.
 */
export type SlipReason =
  | { readonly cause: 'gap'; readonly swingBeforeMs: number }
  | { readonly cause: 'clipping'; readonly mostDps: number; readonly guardDps: number }
  | { readonly cause: 'decidedAtRelease'; readonly afterPressMs: number }
  | { readonly cause: 'smoothingDelay'; readonly trueDps: number; readonly smoothedDps: number }
  | { readonly cause: 'beforeFirstClosing'; readonly guardDps: number; readonly closesAfterMs: number }
  | { readonly cause: 'reversalDip' | 'slowPart'; readonly speedDps: number; readonly turn: Turn | null }
  | { readonly cause: 'notSpinning'; readonly speedDps: number };

export type SlipCause = SlipReason['cause'];

/** The turn between the two swings beside the press. */
export interface Turn {
  readonly turnDeg: number;
  /** Time for which the speed stays below the guard's; null where it does not, or does not come back. */
  readonly dipMs: number | null;
  readonly guard: Pick<GuardSettings, 'speedDps' | 'holdMs'>;
}

export interface SlipExplanation {
  readonly reason: SlipReason;
  readonly fixes: readonly Fix[];
}

/** Time before the press in which a clipped peak is looked for. */
const CLIPPING_LOOK_BACK_MS = 1000;
/** A peak is clipped if a sample of at least this share of it is saturated. */
const CLIPPED_TOP_RATIO = 0.9;

/**
 * Why a press slipped through, and the smallest change of each setting that would have refused it.
 * @param args  `closed` and `verdict` as the same `settings` gave them.
 * @returns null for a press that was refused, or could not be judged.
 */
export function explainSlip(args: {
  readonly signals: SpeedSignals;
  readonly closed: ClosedSamples;
  readonly verdict: PressVerdict;
  readonly settings: GuardSettings;
  readonly truth: Truth;
}): SlipExplanation | null {
  const { signals, verdict, settings } = args;
  if (verdict.accepted !== true || verdict.decidedUs === null) return null;
  const index = sampleOf(signals, verdict.decidedUs)!;
  const press: JudgedPress = { ...args, index, segment: segmentAt(signals.segments, index) };
  const reason = LOOKED_FOR.map((look) => look(press)).find((one) => one !== null);
  const speedDps = signals.swingSpeedDps[index]!;
  return {
    reason: reason ?? { cause: 'notSpinning', speedDps },
    fixes: smallestFixes(signals, verdict.press, settings),
  };
}

interface JudgedPress {
  readonly signals: SpeedSignals;
  readonly closed: ClosedSamples;
  readonly verdict: PressVerdict;
  readonly settings: GuardSettings;
  readonly truth: Truth;
  readonly index: number;
  readonly segment: Segment;
}

const LOOKED_FOR: readonly ((press: JudgedPress) => SlipReason | null)[] = [
  gap,
  clipping,
  decidedAtRelease,
  smoothingDelay,
  beforeFirstClosing,
  reversalOrSlowPart,
];

function gap({ signals, closed, verdict, settings, segment, index }: JudgedPress): SlipReason | null {
  if (segment.start === 0 || firstClosedIn(closed, segment.start, index) >= 0) return null;
  const before = segmentAt(signals.segments, segment.start - 1);
  const high = lastAtOrAbove(signals, before, settings.speedDps);
  if (high === null) return null;
  const swingBeforeMs = (verdict.decidedUs! - signals.timeUs[high]!) / 1000;
  return swingBeforeMs < settings.holdMs ? { cause: 'gap', swingBeforeMs } : null;
}

function lastAtOrAbove(signals: SpeedSignals, { start, end }: Segment, speedDps: number): number | null {
  for (let i = end - 1; i >= start; --i) if (signals.swingSpeedDps[i]! >= speedDps) return i;
  return null;
}

function clipping({ signals, settings, segment, index }: JudgedPress): SlipReason | null {
  const { swingSpeedDps, saturated, rateHz } = signals;
  const first = Math.max(segment.start, index - Math.ceil((CLIPPING_LOOK_BACK_MS * rateHz) / 1000));
  let fastest = 0;
  for (let i = first; i <= index; ++i) if (swingSpeedDps[i]! > fastest) fastest = swingSpeedDps[i]!;
  if (fastest >= settings.speedDps) return null;
  for (let i = first; i <= index; ++i) {
    if (saturated[i] === 1 && swingSpeedDps[i]! >= CLIPPED_TOP_RATIO * fastest && fastest > 0)
      return { cause: 'clipping', mostDps: fastest, guardDps: settings.speedDps };
  }
  return null;
}

function decidedAtRelease({ signals, closed, verdict, settings }: JudgedPress): SlipReason | null {
  if (settings.decideAt !== 'release') return null;
  const down = sampleOf(signals, verdict.press.downUs);
  if (down === null || !isClosedAt(closed, down)) return null;
  return { cause: 'decidedAtRelease', afterPressMs: (verdict.decidedUs! - verdict.press.downUs) / 1000 };
}

function smoothingDelay({ signals, settings, index }: JudgedPress): SlipReason | null {
  const trueDps = signals.trueSpeedDps[index]!;
  if (!(trueDps >= settings.speedDps)) return null;
  return { cause: 'smoothingDelay', trueDps, smoothedDps: signals.swingSpeedDps[index]! };
}

function beforeFirstClosing(press: JudgedPress): SlipReason | null {
  const { signals, closed, settings, segment, index } = press;
  const spin = spinOf(press);
  if (spin === null) return null;
  const first = Math.max(segment.start, firstAtOrAfter(signals.timeUs, spin.startUs));
  const end = Math.min(segment.end, firstAtOrAfter(signals.timeUs, spin.endUs));
  if (firstClosedIn(closed, first, index) >= 0) return null;
  const closing = firstClosedIn(closed, index, end);
  if (closing < 0) return null;
  const closesAfterMs = (signals.timeUs[closing]! - signals.timeUs[index]!) / 1000;
  return { cause: 'beforeFirstClosing', guardDps: settings.speedDps, closesAfterMs };
}

function reversalOrSlowPart(press: JudgedPress): SlipReason | null {
  if (spinOf(press) === null) return null;
  const { signals, settings, truth, index } = press;
  const speedDps = signals.swingSpeedDps[index]!;
  const reversal = truth.reversals.find((one) => one.peakBefore <= index && index <= one.peakAfter);
  if (reversal === undefined) return { cause: 'slowPart', speedDps, turn: null };
  const { turnDeg } = reversal;
  const dipUs = dipWidthUs(signals.swingSpeedDps, signals.timeUs, reversal.index, settings.speedDps);
  const turn = { turnDeg, dipMs: dipUs ? dipUs / 1000 : null, guard: settings };
  return { cause: turnDeg >= REVERSAL_TURN_DEG ? 'reversalDip' : 'slowPart', speedDps, turn };
}

function spinOf({ truth, verdict }: JudgedPress): Span | null {
  const momentUs = verdict.decidedUs!;
  return truth.spinning.find((span) => span.startUs <= momentUs && momentUs <= span.endUs) ?? null;
}
