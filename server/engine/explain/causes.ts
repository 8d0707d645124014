import type { Segment, Span } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import type { GuardSettings } from '../detect/guard.ts';
import { type PressVerdict, sampleOf } from '../detect/presses.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import { dipWidthUs, REVERSAL_TURN_DEG, type Reversal } from '../truth/reversals.ts';
import type { Truth } from '../truth/truth.ts';
import { type Fix, smallestFixes } from './fixes.ts';

/**
 * Why a press was let through, in the order in which the causes are looked for:
 * - gap: the guard had seen a swing, and its hold would have reached the press, but a gap in the log lies between;
 * - clipping: the blade was as fast as the sensor can tell, and that is below the guard's speed;
 * - decidedAtRelease: closed when the button went down, open when it was let go;
 * - smoothingDelay: the true speed was at or above the guard's, the smoothed one not yet;
 * - beforeFirstClosing: early in a spin in which the guard closes only later;
 * - reversalDip: between two swings where the blade goes back;
 * - slowPart: anywhere else in a spin;
 * - notSpinning: in no spin.
 */
export type SlipCause =
  | 'gap'
  | 'clipping'
  | 'decidedAtRelease'
  | 'smoothingDelay'
  | 'beforeFirstClosing'
  | 'reversalDip'
  | 'slowPart'
  | 'notSpinning';

export interface SlipExplanation {
  readonly cause: SlipCause;
  /** A sentence for the performer. */
  readonly text: string;
  readonly fixes: readonly Fix[];
}

/** How far back the fastest moment is looked for that a clipped sensor may have cut. */
const CLIPPING_LOOK_BACK_MS = 1000;
/** A sensor is clipped at a peak if a sample of this part of it is saturated. */
const CLIPPED_TOP_RATIO = 0.9;

/**
 * Why a press slipped through, and the smallest change of each setting that would have refused it.
 * @param args  `closed` and `verdict` as the same `settings` gave them.
 * @returns null for a press that was refused, or could not be judged.
 */
export function explainSlip(args: {
  readonly signals: SpeedSignals;
  readonly closed: Uint8Array;
  readonly verdict: PressVerdict;
  readonly settings: GuardSettings;
  readonly truth: Truth;
}): SlipExplanation | null {
  const { signals, verdict, settings } = args;
  if (verdict.accepted !== true || verdict.decidedUs === null) return null;
  const index = sampleOf(signals, verdict.decidedUs)!;
  const slip: Slip = { ...args, index, segment: segmentAt(signals.segments, index) };
  const found = LOOKED_FOR.map((look) => look(slip)).find((one) => one !== null);
  const { cause, text } = found ?? notSpinning(slip);
  return { cause, text, fixes: smallestFixes(signals, verdict.press, settings) };
}

interface Slip {
  readonly signals: SpeedSignals;
  readonly closed: Uint8Array;
  readonly verdict: PressVerdict;
  readonly settings: GuardSettings;
  readonly truth: Truth;
  readonly index: number;
  readonly segment: Segment;
}

interface Found {
  readonly cause: SlipCause;
  readonly text: string;
}

const LOOKED_FOR: readonly ((slip: Slip) => Found | null)[] = [
  gap,
  clipping,
  decidedAtRelease,
  smoothingDelay,
  beforeFirstClosing,
  reversalOrSlowPart,
];

function gap({ signals, closed, verdict, settings, segment, index }: Slip): Found | null {
  if (segment.start === 0 || closed.subarray(segment.start, index).includes(1)) return null;
  const before = segmentAt(signals.segments, segment.start - 1);
  const high = lastAtOrAbove(signals, before, settings.speedDps);
  if (high === null) return null;
  const sinceMs = (verdict.decidedUs! - signals.timeUs[high]!) / 1000;
  if (sinceMs >= settings.holdMs) return null;
  const text = `a gap in the log: the last swing was ${sinceMs.toFixed(0)} ms before, within the hold, but a guard starts anew after a gap`;
  return { cause: 'gap', text };
}

function lastAtOrAbove(signals: SpeedSignals, { start, end }: Segment, speedDps: number): number | null {
  for (let i = end - 1; i >= start; --i) if (signals.swingSpeedDps[i]! >= speedDps) return i;
  return null;
}

function clipping({ signals, settings, segment, index }: Slip): Found | null {
  const { swingSpeedDps, saturated, rateHz } = signals;
  const first = Math.max(segment.start, index - Math.ceil((CLIPPING_LOOK_BACK_MS * rateHz) / 1000));
  let fastest = 0;
  for (let i = first; i <= index; ++i) if (swingSpeedDps[i]! > fastest) fastest = swingSpeedDps[i]!;
  if (fastest >= settings.speedDps) return null;
  for (let i = first; i <= index; ++i) {
    if (saturated[i] === 1 && swingSpeedDps[i]! >= CLIPPED_TOP_RATIO * fastest && fastest > 0) {
      const text = `a clipped sensor: it shows no more than ${fastest.toFixed(0)} °/s here, and the guard's speed is ${settings.speedDps} °/s`;
      return { cause: 'clipping', text };
    }
  }
  return null;
}

function decidedAtRelease({ signals, closed, verdict, settings }: Slip): Found | null {
  if (settings.decideAt !== 'release') return null;
  const down = sampleOf(signals, verdict.press.downUs);
  if (down === null || closed[down] === 0) return null;
  const laterMs = (verdict.decidedUs! - verdict.press.downUs) / 1000;
  const text = `judged when let go: the guard was closed when the button went down, ${laterMs.toFixed(0)} ms before`;
  return { cause: 'decidedAtRelease', text };
}

function smoothingDelay({ signals, settings, index }: Slip): Found | null {
  const trueDps = signals.trueSpeedDps[index]!;
  if (!(trueDps >= settings.speedDps)) return null;
  const text = `the smoothing lags: the blade was at ${trueDps.toFixed(0)} °/s already, the smoothed speed still at ${signals.swingSpeedDps[index]!.toFixed(0)} °/s`;
  return { cause: 'smoothingDelay', text };
}

function beforeFirstClosing(slip: Slip): Found | null {
  const { signals, closed, settings, segment, index } = slip;
  const spin = spinOf(slip);
  if (spin === null) return null;
  const first = Math.max(segment.start, firstAtOrAfter(signals.timeUs, spin.startUs));
  const end = Math.min(segment.end, firstAtOrAfter(signals.timeUs, spin.endUs));
  if (closed.subarray(first, index).includes(1)) return null;
  const closing = closed.subarray(0, end).indexOf(1, index);
  if (closing < 0) return null;
  const laterMs = (signals.timeUs[closing]! - signals.timeUs[index]!) / 1000;
  const text = `before the guard first closed in this spin: the speed reached ${settings.speedDps} °/s ${laterMs.toFixed(0)} ms later`;
  return { cause: 'beforeFirstClosing', text };
}

function reversalOrSlowPart(slip: Slip): Found | null {
  if (spinOf(slip) === null) return null;
  const reversal = slip.truth.reversals.find(
    (one) => one.peakBefore <= slip.index && slip.index <= one.peakAfter,
  );
  if (reversal === undefined) {
    return { cause: 'slowPart', text: `a slow part of the spin: ${speedText(slip)}` };
  }
  const cause = reversal.turnDeg >= REVERSAL_TURN_DEG ? 'reversalDip' : 'slowPart';
  const place = cause === 'reversalDip' ? 'the dip of a reversal' : 'a slow part of the spin';
  return { cause, text: `${place}: ${speedText(slip)}${dipText(slip, reversal)}` };
}

function notSpinning(slip: Slip): Found {
  return { cause: 'notSpinning', text: `no spin at the press: ${speedText(slip)}` };
}

function spinOf({ truth, verdict }: Slip): Span | null {
  const momentUs = verdict.decidedUs!;
  return truth.spinning.find((span) => span.startUs <= momentUs && momentUs <= span.endUs) ?? null;
}

function speedText({ signals, index }: Slip): string {
  return `the blade was at ${signals.swingSpeedDps[index]!.toFixed(0)} °/s`;
}

function dipText({ signals, settings }: Slip, reversal: Reversal): string {
  const { swingSpeedDps, timeUs } = signals;
  const turn = `, turning by ${reversal.turnDeg.toFixed(0)}°`;
  const widthUs = dipWidthUs(swingSpeedDps, timeUs, reversal.index, settings.speedDps);
  if (widthUs === null || widthUs === 0) return turn;
  return `${turn}; it stays below ${settings.speedDps} °/s for ${(widthUs / 1000).toFixed(0)} ms, the hold is ${settings.holdMs} ms`;
}
