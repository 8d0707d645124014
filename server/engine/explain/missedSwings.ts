import type { Segment } from '../base/log.ts';
import { segmentAt } from '../base/timeBase.ts';
import { DeflectionDetector, type DeflectionSettings } from '../detect/deflection.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { LATE_FIRE_MS } from '../score/fireAssignment.ts';
import { settingAt } from '../settings/candidateRules.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';

/**
 * Why no deflection belongs to a swing, in the order in which the causes are looked for:
 * - neighbour: one fired in its reach, and belongs to the swing beside it;
 * - gap: rates are missing in it, and what is left stays below the speed;
 * - smoothed: its true peak reaches the speed, the smoothed one does not;
 * - tooSlow: it does not reach the speed at all;
 * - resting: it came too soon after the deflection before;
 * - notArmed: the blade had not slowed enough since it last reached the speed;
 * - tooShort: it did not stay at the speed for as long as it takes.
 */
type MissCause = 'neighbour' | 'gap' | 'smoothed' | 'tooSlow' | 'resting' | 'notArmed' | 'tooShort';

/** The smallest change of one setting, all others as they are, with which a deflection fires in the swing. */
export interface MissFix {
  readonly path: `deflection.${keyof DeflectionSettings}`;
  readonly value: number;
  readonly text: string;
}

interface MissExplanation {
  readonly cause: MissCause;
  /** A sentence for the performer. */
  readonly text: string;
  /**
   * In the order in which they are tried, one for each setting; empty where no change of one setting within its bounds
   * helps.
   */
  readonly fixes: readonly MissFix[];
}

export type MissReason = Pick<MissExplanation, 'cause' | 'text'>;

/**
 * Why no deflection belongs to each of some swings.
 * @param swings  those swings, in any order.
 */
export function missReasons(
  signals: SpeedSignals,
  swings: readonly Swing[],
  settings: DeflectionSettings,
): MissReason[] {
  const trace = traceOf(signals, settings);
  return swings.map((swing) => {
    const { cause, text } = look(signals, settings, trace, swing);
    return { cause, text };
  });
}

/** The causes alone. */
export function missCauses(
  signals: SpeedSignals,
  swings: readonly Swing[],
  settings: DeflectionSettings,
): MissCause[] {
  return missReasons(signals, swings, settings).map(({ cause }) => cause);
}

const WORDS: Readonly<Record<MissCause, string>> = {
  neighbour: 'beside one that fired in their place',
  gap: 'in a gap',
  smoothed: 'smoothed too much',
  tooSlow: 'too slow',
  resting: 'within the rest',
  notArmed: 'not armed again',
  tooShort: 'too short',
};

/** Numbers of missed swings by cause, the commonest first: `30 not armed again, 4 too slow`. */
export function missesText(causes: readonly MissCause[]): string {
  const counts = new Map<MissCause, number>();
  for (const cause of causes) counts.set(cause, (counts.get(cause) ?? 0) + 1);
  return [...counts]
    .sort((a, b) => b[1] - a[1])
    .map(([cause, count]) => `${count} ${WORDS[cause]}`)
    .join(', ');
}

/** Why no deflection belongs to a swing, and the changes that would make one fire in it, each tried on the detector. */
export function explainMiss(
  signals: SpeedSignals,
  swing: Swing,
  settings: DeflectionSettings,
): MissExplanation {
  const { cause, text, changes } = look(signals, settings, traceOf(signals, settings), swing);
  const fixes: MissFix[] = [];
  for (const change of changes) {
    if (fixes.some(({ path }) => path === `deflection.${change[0]}`)) continue;
    fixes.push(...confirmed(signals, swing, settings, change));
  }
  return { cause, text, fixes };
}

/** The detector's state at each sample. */
const DISARMED = 1;
const FIRED = 2;
/** It would have fired, but was resting. */
const SWALLOWED = 4;

function traceOf(signals: SpeedSignals, settings: DeflectionSettings): Uint8Array {
  const detector = new DeflectionDetector(settings, signals.rateHz);
  const trace = new Uint8Array(signals.timeUs.length);
  for (const { start, end } of signals.segments) {
    detector.reset();
    for (let i = start; i < end; ++i) {
      const wasArmed = detector.isArmed;
      const fired = detector.step(signals.swingSpeedDps[i]!);
      if (!wasArmed) trace[i] = DISARMED;
      else if (fired) trace[i] = FIRED;
      else if (!detector.isArmed) trace[i] = SWALLOWED;
    }
  }
  return trace;
}

interface Found {
  readonly cause: MissCause;
  readonly text: string;
  readonly changes: readonly Change[];
}

/** A change that is still to be tried. */
type Change = readonly [setting: keyof DeflectionSettings, value: number];

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
  const text = `the deflection at ${atS(signals.timeUs[fire]!)} belongs to the swing beside it`;
  return { cause: 'neighbour', text, changes: [] };
}

function belowSpeed({ settings, swing, highs }: Missed): Found | null {
  const { fastestDps, isWhole } = highs;
  const { speedDps } = settings;
  if (highs.first >= 0) return null;
  if (!isWhole) return { cause: 'gap', text: 'a gap in the log: part of its rates is missing', changes: [] };
  const changes: Change[] = [['speedDps', Math.floor(fastestDps)]];
  const [peak, fastest] = [swing.peakDps.toFixed(0), fastestDps.toFixed(0)];
  const takes = `a deflection takes ${speedDps} °/s`;
  return swing.peakDps >= speedDps
    ? {
        cause: 'smoothed',
        text: `smoothed too much: its peak of ${peak} °/s reads as ${fastest}, ${takes}`,
        changes,
      }
    : { cause: 'tooSlow', text: `too slow: it reaches ${fastest} °/s, ${takes}`, changes };
}

function resting({ signals, settings, trace, reach }: Missed): Found | null {
  const swallowed = firstOf(SWALLOWED, trace, reach);
  if (swallowed < 0) return null;
  const sinceMs = ((swallowed - trace.lastIndexOf(FIRED, swallowed)) * 1000) / signals.rateHz;
  const text = `within the rest: it comes ${sinceMs.toFixed(0)} ms after the deflection before, the rest is ${settings.restMs} ms`;
  return { cause: 'resting', text, changes: [['restMs', Math.floor(sinceMs)]] };
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
  const rearm = Number((rearmRatio * speedDps).toFixed(1));
  const text = `not armed again: since ${atS(timeUs[onset]!)} the speed fell to ${lowestDps.toFixed(0)} °/s at the least, arming takes less than ${rearm} °/s`;
  const changes = dipsDps.flatMap((dipDps): Change[] => [
    ['rearmRatio', (Math.floor((dipDps / speedDps) * 100) + 1) / 100],
    ['speedDps', Math.floor(dipDps / rearmRatio) + 1],
  ]);
  return { cause: 'notArmed', text, changes };
}

function tooShort({ signals, settings, highs }: Missed): Found {
  const ms = ((highs.longestArmed - 1) * 1000) / signals.rateHz;
  const text = `too short: it stays at ${settings.speedDps} °/s or more for ${ms.toFixed(0)} ms, a deflection takes ${settings.confirmMs} ms`;
  return { cause: 'tooShort', text, changes: [['confirmMs', Math.floor(ms)]] };
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

/** Samples at the deflection's speed or above. */
interface Highs {
  /** -1 where there is none. */
  readonly first: number;
  readonly last: number;
  /** Samples in the longest run of them that found the detector armed. */
  readonly longestArmed: number;
  readonly fastestDps: number;
  /** Whether no sample is missing. */
  readonly isWhole: boolean;
}

function highsIn(
  { swingSpeedDps, segments }: SpeedSignals,
  { speedDps }: DeflectionSettings,
  trace: Uint8Array,
  { start, end }: Segment,
): Highs {
  let [first, last, longestArmed, run, fastestDps] = [-1, -1, 0, 0, 0];
  let isWhole = end > start && segmentAt(segments, start).end >= end;
  for (let i = start; i < end; ++i) {
    const dps = swingSpeedDps[i]!;
    if (Number.isNaN(dps)) isWhole = false;
    if (dps > fastestDps) fastestDps = dps;
    const isHigh = dps >= speedDps;
    run = isHigh && trace[i] !== DISARMED ? run + 1 : 0;
    if (run > longestArmed) longestArmed = run;
    if (!isHigh) continue;
    if (first < 0) first = i;
    last = i;
  }
  return { first, last, longestArmed, fastestDps, isWhole };
}

function firstOf(state: number, trace: Uint8Array, { start, end }: Segment): number {
  const index = trace.subarray(start, end).indexOf(state);
  return index < 0 ? -1 : start + index;
}

const SETTING_WORDS: Readonly<Record<keyof DeflectionSettings, string>> = {
  speedDps: 'a speed',
  rearmRatio: 're-arming below a part',
  restMs: 'a rest',
  confirmMs: 'a confirmation',
};

function confirmed(
  signals: SpeedSignals,
  swing: Swing,
  settings: DeflectionSettings,
  [name, value]: Change,
): MissFix[] {
  const path = `deflection.${name}` as const;
  const { min, max, unit } = settingAt(path);
  if (!(value >= min && value <= max)) return [];
  const trace = traceOf(signals, { ...settings, [name]: value });
  if (firstOf(FIRED, trace, reachOf(signals, swing)) < 0) return [];
  const text = `${SETTING_WORDS[name]} of ${value}${unit && ` ${unit}`} (now ${settings[name]})`;
  return [{ path, value, text }];
}

function atS(us: number): string {
  return `${(us / 1e6).toFixed(2)} s`;
}
