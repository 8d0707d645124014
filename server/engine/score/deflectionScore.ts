import type { Signals } from '../motion/signals.ts';
import type { Swing } from '../truth/swings.ts';
import { type Count, Tally } from './count.ts';
import { type MatchWindow, matchWindows } from './match.ts';
import { type Spread, spreadOf } from './quantile.ts';

export interface DeflectionScore {
  readonly swings: number;
  /** Swings with exactly one fire. */
  readonly once: Count;
  readonly missed: Count;
  /** Swings with two fires or more. */
  readonly twice: Count;
  /** Every fire of a swing after its first, in time order. */
  readonly extraFiresUs: readonly number[];
  /** Fires that belong to no swing. */
  readonly outside: number;
  /** From a swing's start (10 % of its peak, or the minimum before it) to its first fire. */
  readonly delayMs: Spread | null;
  /** From a swing's first fire to its peak; negative where the fire comes after. */
  readonly leadMs: Spread | null;
}

/** A causal channel lags: a fire still belongs to a swing that ended this long ago. */
export const LATE_FIRE_MS = 100;

/**
 * A fire belongs to a swing from its start to LATE_FIRE_MS after its end. Each swing gets at most one fire, each fire
 * at most one swing, as many pairs as can be, then nearest to the peaks; what is left over inside a swing fires twice.
 * @param args  `swings` in the order of their peaks.
 */
export function scoreDeflection(args: {
  readonly signals: Signals;
  readonly fires: Int32Array;
  readonly swings: readonly Swing[];
}): DeflectionScore {
  const { signals, swings } = args;
  const fireUs = Float64Array.from(args.fires, (index) => signals.timeUs[index]!);
  const { firesOf, outside } = assignFires(windowsOf(swings), fireUs);
  const [once, missed, twice] = [new Tally(), new Tally(), new Tally()];
  const delaysMs: number[] = [];
  const leadsMs: number[] = [];
  const extraFiresUs: number[] = [];
  swings.forEach((swing, i) => {
    const fires = firesOf[i]!;
    once.add(fires.length === 1, swing.by);
    missed.add(fires.length === 0, swing.by);
    twice.add(fires.length > 1, swing.by);
    for (const fire of fires.slice(1)) extraFiresUs.push(fireUs[fire]!);
    if (fires.length === 0) return;
    const firstUs = fireUs[fires[0]!]!;
    delaysMs.push((firstUs - swing.startUs) / 1000);
    leadsMs.push((swing.peakUs - firstUs) / 1000);
  });
  return {
    swings: swings.length,
    once: once.count(),
    missed: missed.count(),
    twice: twice.count(),
    extraFiresUs,
    outside,
    delayMs: spreadOf(delaysMs),
    leadMs: spreadOf(leadsMs),
  };
}

/** Where swings lie inside one another, windows are widened until both ends rise from one to the next. */
function windowsOf(swings: readonly Swing[]): MatchWindow[] {
  const fromUs = Float64Array.from(swings, (swing) => swing.startUs);
  for (let i = fromUs.length - 2; i >= 0; --i) fromUs[i] = Math.min(fromUs[i]!, fromUs[i + 1]!);
  let toUs = -Infinity;
  return swings.map(({ endUs, peakUs }, i) => {
    toUs = Math.max(toUs, endUs + LATE_FIRE_MS * 1000);
    return { fromUs: fromUs[i]!, toUs, atUs: peakUs };
  });
}

/** Each window's detections in time order: the one matched to it, and those that are left over inside it. */
function assignFires(windows: readonly MatchWindow[], fireUs: Float64Array) {
  const firesOf: number[][] = windows.map(() => []);
  const isMatched = new Uint8Array(fireUs.length);
  for (const { ref, det } of matchWindows(windows, fireUs)) {
    firesOf[ref]!.push(det);
    isMatched[det] = 1;
  }
  let outside = 0;
  let first = 0;
  for (let det = 0; det < fireUs.length; ++det) {
    if (isMatched[det]) continue;
    while (first < windows.length && windows[first]!.toUs < fireUs[det]!) ++first;
    const owner = lastHolding(windows, first, fireUs[det]!);
    if (owner === null) ++outside;
    else firesOf[owner]!.push(det);
  }
  for (const fires of firesOf) fires.sort((a, b) => a - b);
  return { firesOf, outside };
}

/** The last window from `first` on that holds a moment: the swing under way, not the one just ended. */
function lastHolding(windows: readonly MatchWindow[], first: number, momentUs: number): number | null {
  let owner: number | null = null;
  for (let i = first; i < windows.length && windows[i]!.fromUs <= momentUs; ++i) owner = i;
  return owner;
}
