import type { Segment } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import { DeflectionDetector, type DeflectionSettings } from '../detect/deflection.ts';
import { whenSwitchedOn } from '../detect/deflectionButton.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { LATE_FIRE_MS } from '../score/fireAssignment.ts';
import { settingAt } from '../settings/candidateRules.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';

/**
 * Why no deflection belongs to a swing, with what shows it; in the order in which the causes are looked for:
 * - neighbour: one fired in its reach, and belongs to the swing beside it;
 * - gap: rates are missing in it, and what is left stays below the speed;
 * - smoothed: its true peak reaches the speed, the smoothed one does not;
 * - tooSlow: it does not reach the speed at all;
 * - notHeld: it reaches the speed, but not while the deflection's button is held;
 * - resting: it came too soon after the deflection before;
 * - notArmed: the blade had not slowed enough since it last reached the speed;
 * - tooShort: it did not stay at the speed for as long as it takes.
 */
export type MissReason =
  | { readonly cause: 'neighbour'; readonly fireUs: number }
  | { readonly cause: 'gap' }
  | {
      readonly cause: 'smoothed' | 'tooSlow';
      readonly truePeakDps: number;
      readonly fastestDps: number;
      readonly needDps: number;
    }
  | { readonly cause: 'notHeld'; readonly fastestHeldDps: number; readonly needDps: number }
  | { readonly cause: 'resting'; readonly sinceMs: number; readonly restMs: number }
  | {
      readonly cause: 'notArmed';
      readonly sinceUs: number;
      readonly lowestDps: number;
      readonly armDps: number;
    }
  | {
      readonly cause: 'tooShort';
      readonly speedDps: number;
      readonly forMs: number;
      readonly needMs: number;
    };

export type MissCause = MissReason['cause'];

/** The smallest change of one setting, all others as they are, with which a deflection fires in the swing. */
export interface MissFix {
  readonly setting: 'speedDps' | 'rearmRatio' | 'restMs' | 'confirmMs';
  readonly value: number;
}

interface MissExplanation {
  readonly reason: MissReason;
  /**
   * In the order in which they are tried, one for each setting; empty where no change of one setting within its bounds
   * helps.
   */
  readonly fixes: readonly MissFix[];
}

/**
 * Why no deflection belongs to each of some swings, in all of which one is wanted.
 * @param swings  those swings, in any order.
 */
export function missReasons(
  signals: SpeedSignals,
  swings: readonly Swing[],
  settings: DeflectionSettings,
): MissReason[] {
  const trace = traceOf(signals, settings);
  return swings.map((swing) => look(signals, settings, trace, swing).reason);
}

/** Why no deflection belongs to a swing, and the changes that would make one fire in it, each tried on the detector. */
export function explainMiss(
  signals: SpeedSignals,
  swing: Swing,
  settings: DeflectionSettings,
): MissExplanation {
  const { reason, changes } = look(signals, settings, traceOf(signals, settings), swing);
  const fixes: MissFix[] = [];
  for (const change of changes)
    if (!fixes.some(({ setting }) => setting === change.setting) && helps(signals, swing, settings, change))
      fixes.push(change);
  return { reason, fixes };
}

/** The detector's state at each sample. */
const DISARMED = 1;
const FIRED = 2;
/** It would have fired, but was resting. */
const SWALLOWED = 4;
/** Added: deflections are off, for their button is up. */
const OFF = 8;

function traceOf(signals: SpeedSignals, settings: DeflectionSettings): Uint8Array {
  const detector = new DeflectionDetector(settings, signals.rateHz);
  const trace = new Uint8Array(signals.timeUs.length);
  const on = whenSwitchedOn(signals, settings);
  for (const { start, end } of signals.segments) {
    detector.reset();
    for (let i = start; i < end; ++i) {
      const wasArmed = detector.isArmed;
      const isOn = typeof on === 'string' || on[i] === 1;
      const fired = detector.step(signals.swingSpeedDps[i]!, isOn);
      if (!wasArmed) trace[i] = DISARMED;
      else if (fired) trace[i] = FIRED;
      else if (!detector.isArmed) trace[i] = SWALLOWED;
      if (!isOn) trace[i]! |= OFF;
    }
  }
  return trace;
}

interface Found {
  readonly reason: MissReason;
  /** Changes that are still to be tried. */
  readonly changes: readonly MissFix[];
}

/** A swing without a deflection, with the detector's states within its reach. */
interface Missed {
  readonly signals: SpeedSignals;
  readonly settings: DeflectionSettings;
  readonly trace: Uint8Array;
  readonly swing: Swing;
  readonly reach: Segment;
  readonly highs: Highs;
}

const LOOKED_FOR: readonly ((missed: Missed) => Found | null)[] = [neighbour, belowSpeed, resting, notArmed];

function look(signals: SpeedSignals, settings: DeflectionSettings, trace: Uint8Array, swing: Swing): Found {
  const reach = reachOf(signals, swing);
  const missed = { signals, settings, trace, swing, reach, highs: highsIn(signals, settings, trace, reach) };
  for (const lookFor of LOOKED_FOR) {
    const found = lookFor(missed);
    if (found) return found;
  }
  return tooShort(missed);
}

function neighbour({ signals, trace, reach }: Missed): Found | null {
  const fire = firstOf(FIRED, trace, reach);
  if (fire < 0) return null;
  return { reason: { cause: 'neighbour', fireUs: signals.timeUs[fire]! }, changes: [] };
}

function belowSpeed({ settings, swing, highs }: Missed): Found | null {
  const { fastestDps, fastestHeldDps, isWhole } = highs;
  const { speedDps } = settings;
  if (highs.first >= 0) return null;
  if (fastestDps >= speedDps)
    return {
      reason: { cause: 'notHeld', fastestHeldDps, needDps: speedDps },
      changes: [{ setting: 'speedDps', value: Math.floor(fastestHeldDps) }],
    };
  if (!isWhole) return { reason: { cause: 'gap' }, changes: [] };
  const truePeakDps = swing.peakDps;
  const cause = truePeakDps >= speedDps ? 'smoothed' : 'tooSlow';
  return {
    reason: { cause, truePeakDps, fastestDps, needDps: speedDps },
    changes: [{ setting: 'speedDps', value: Math.floor(fastestDps) }],
  };
}

function resting({ signals, settings, trace, reach }: Missed): Found | null {
  const swallowed = firstOf(SWALLOWED, trace, reach);
  if (swallowed < 0) return null;
  const sinceMs = ((swallowed - trace.lastIndexOf(FIRED, swallowed)) * 1000) / signals.rateHz;
  return {
    reason: { cause: 'resting', sinceMs, restMs: settings.restMs },
    changes: [{ setting: 'restMs', value: Math.floor(sinceMs) }],
  };
}

function notArmed({ signals, settings, trace, reach, highs }: Missed): Found | null {
  if (highs.longestArmed > 0) return null;
  const { timeUs, swingSpeedDps } = signals;
  const { speedDps, rearmRatio } = settings;
  const onset = Math.max(trace.lastIndexOf(FIRED, highs.first), trace.lastIndexOf(SWALLOWED, highs.first));
  const lowestDps = lowestIn(swingSpeedDps, onset, highs.last);
  // A setting that arms at the deepest dip may fire in a swing before this one: then the dip at this swing's start
  // counts.
  const dipsDps = [lowestDps, lowestIn(swingSpeedDps, reach.start, highs.last)];
  const changes = dipsDps.flatMap((dipDps): MissFix[] => [
    { setting: 'rearmRatio', value: (Math.floor((dipDps / speedDps) * 100) + 1) / 100 },
    { setting: 'speedDps', value: Math.floor(dipDps / rearmRatio) + 1 },
  ]);
  const armDps = rearmRatio * speedDps;
  return { reason: { cause: 'notArmed', sinceUs: timeUs[onset]!, lowestDps, armDps }, changes };
}

function tooShort({ signals, settings, highs }: Missed): Found {
  const forMs = ((highs.longestArmed - 1) * 1000) / signals.rateHz;
  return {
    reason: { cause: 'tooShort', speedDps: settings.speedDps, forMs, needMs: settings.confirmMs },
    changes: [{ setting: 'confirmMs', value: Math.floor(forMs) }],
  };
}

function lowestIn(speedDps: Float64Array, first: number, last: number): number {
  let lowestDps = Number.POSITIVE_INFINITY;
  for (let i = first; i <= last; ++i) if (speedDps[i]! < lowestDps) lowestDps = speedDps[i]!;
  return lowestDps;
}

/** Samples in which a fire may belong to the swing. */
function reachOf({ timeUs }: SpeedSignals, { startUs, endUs }: Swing): Segment {
  return {
    start: firstAtOrAfter(timeUs, startUs),
    end: firstAtOrAfter(timeUs, endUs + LATE_FIRE_MS * 1000 + 1),
  };
}

/** Samples at the deflection's speed or above, with deflections on. */
interface Highs {
  /** -1 where there is none. */
  readonly first: number;
  readonly last: number;
  /** Samples in the longest run of them that found the detector armed. */
  readonly longestArmed: number;
  readonly fastestDps: number;
  /** With deflections on. */
  readonly fastestHeldDps: number;
  /** Whether no sample is missing. */
  readonly isWhole: boolean;
}

function highsIn(
  { swingSpeedDps, segments }: SpeedSignals,
  { speedDps }: DeflectionSettings,
  trace: Uint8Array,
  { start, end }: Segment,
): Highs {
  let [first, last, longestArmed, run, fastestDps, fastestHeldDps] = [-1, -1, 0, 0, 0, 0];
  let isWhole = end > start && segmentAt(segments, start).end >= end;
  for (let i = start; i < end; ++i) {
    const dps = swingSpeedDps[i]!;
    if (Number.isNaN(dps)) isWhole = false;
    if (dps > fastestDps) fastestDps = dps;
    const isOn = (trace[i]! & OFF) === 0;
    if (isOn && dps > fastestHeldDps) fastestHeldDps = dps;
    const isHigh = isOn && dps >= speedDps;
    run = isHigh && trace[i] !== DISARMED ? run + 1 : 0;
    if (run > longestArmed) longestArmed = run;
    if (!isHigh) continue;
    if (first < 0) first = i;
    last = i;
  }
  return { first, last, longestArmed, fastestDps, fastestHeldDps, isWhole };
}

function firstOf(state: number, trace: Uint8Array, { start, end }: Segment): number {
  const index = trace.subarray(start, end).indexOf(state);
  return index < 0 ? -1 : start + index;
}

/** Whether a deflection fires in the swing with a change that is within the setting's bounds. */
function helps(
  signals: SpeedSignals,
  swing: Swing,
  settings: DeflectionSettings,
  { setting, value }: MissFix,
): boolean {
  const { min, max } = settingAt(`deflection.${setting}`);
  if (!(value >= min && value <= max)) return false;
  const trace = traceOf(signals, { ...settings, [setting]: value });
  return firstOf(FIRED, trace, reachOf(signals, swing)) >= 0;
}
