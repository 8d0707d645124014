import { guardReachSamples } from '../detect/guard.ts';
import { firstAtOrAfter } from '../statistics/sorted.ts';

/** For how many samples after its last high one a guard stays closed, for each hold of a sweep: never falling. */
export function holdTails(holdsMs: Float64Array, rateHz: number): Int32Array {
  return Int32Array.from(holdsMs, (holdMs) => guardReachSamples(holdMs, rateHz) - 1);
}

/** The first hold whose tail covers `samples`; the number of holds where none does. */
export function firstHoldCovering(tails: Int32Array, samples: number): number {
  return firstAtOrAfter(tails, samples);
}
