import { type SwitchRule, whenSwitchedOn } from '../detect/deflectionButton.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import { type Spread, spreadOf } from '../statistics/sorted.ts';
import type { Swing } from '../truth/swings.ts';
import { FireAssignment } from './fireAssignment.ts';
import { type Proportion, Tally } from './proportion.ts';
import { wantedSwings } from './wantedSwings.ts';

export interface DeflectionScore {
  /** Swings in which a deflection is wanted, see `wantedSwings`: the parts below are of these. */
  readonly swings: number;
  /** Swings that count for nothing, because the button was up all through. */
  readonly unwanted: number;
  /** Swings with exactly one fire. */
  readonly once: Proportion;
  readonly missed: Proportion;
  /** Swings with two fires or more. */
  readonly twice: Proportion;
  /** The swings without a fire, in their order. */
  readonly missedSwings: readonly Swing[];
  /** When the first fire of each of those with several was, in the order of the swings. */
  readonly twiceUs: readonly number[];
  /** Fires that belong to no swing. */
  readonly outside: number;
  /** From a swing's start (10 % of its peak, or the minimum before it) to its first fire. */
  readonly delayMs: Spread | null;
  /** From a swing's first fire to its peak; negative where the fire comes after. */
  readonly leadMs: Spread | null;
}

/**
 * How many swings got exactly one fire, none, or several, and how early; which fire belongs to which swing, see
 * `FireAssignment`.
 * @param args  `swings` in the order of their peaks; `fires` and `settings` as `runDeflection` has given and been given them.
 * @returns null where nobody knows when the deflection's button was held.
 */
export function scoreDeflection(args: {
  readonly signals: SpeedSignals;
  readonly fires: Int32Array | null;
  readonly swings: readonly Swing[];
  readonly settings: SwitchRule;
}): DeflectionScore | null {
  const { signals, fires } = args;
  const on = whenSwitchedOn(signals, args.settings);
  if (on === 'unknown' || fires === null) return null;
  const swings = wantedSwings(signals, args.swings, on);
  const assignment = new FireAssignment(swings);
  assignment.assign(timesOf(signals, fires));
  const { counts, firstUs, outside } = assignment;
  const [once, missed, twice] = [new Tally(), new Tally(), new Tally()];
  const delaysMs: number[] = [];
  const leadsMs: number[] = [];
  const twiceUs: number[] = [];
  for (let i = 0; i < swings.length; ++i) {
    const { startUs, peakUs, by } = swings[i]!;
    once.add(counts[i] === 1, by);
    missed.add(counts[i] === 0, by);
    twice.add(counts[i]! > 1, by);
    if (counts[i]! > 1) twiceUs.push(firstUs[i]!);
    if (counts[i] === 0) continue;
    delaysMs.push((firstUs[i]! - startUs) / 1000);
    leadsMs.push((peakUs - firstUs[i]!) / 1000);
  }
  return {
    swings: swings.length,
    unwanted: args.swings.length - swings.length,
    once: once.proportion(),
    missed: missed.proportion(),
    twice: twice.proportion(),
    missedSwings: swings.filter((_, i) => counts[i] === 0),
    twiceUs,
    outside,
    delayMs: spreadOf(delaysMs),
    leadMs: spreadOf(leadsMs),
  };
}

function timesOf(signals: SpeedSignals, fires: Int32Array): Float64Array {
  const fireUs = new Float64Array(fires.length);
  for (let i = 0; i < fires.length; ++i) fireUs[i] = signals.timeUs[fires[i]!]!;
  return fireUs;
}
