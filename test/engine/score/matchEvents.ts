import { matchWindows, type Pair } from '../../../server/engine/score/match.ts';

/**
 * One-to-one pairs of events and detections at most `toleranceUs` apart (that far: a pair still), in the order of the
 * events: as many as can be, and of all ways to have that many one with the least total distance.
 * @param detUs  in time order.
 * @throws RangeError  on a negative tolerance, events that are no number, or detections out of order.
 */
export function matchEvents(refUs: ArrayLike<number>, detUs: ArrayLike<number>, toleranceUs: number): Pair[] {
  if (!(toleranceUs >= 0)) throw new RangeError(`toleranceUs must be 0 or more, got ${toleranceUs}`);
  const windows = Array.from(refUs, (atUs) => ({
    fromUs: atUs - toleranceUs,
    toUs: atUs + toleranceUs,
    atUs,
  }));
  return matchWindows(windows, detUs);
}
