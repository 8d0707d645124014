import type { Span } from '../base/log.ts';
import type { ConfirmedGestures } from '../labels/confirmedGestures.ts';
import { matchWindowsOf, windowOf } from './gestureScore.ts';
import { WindowMatcher } from './match.ts';

/**
 * Gives fires to confirmed gestures, as `scoreGestures` does, for one list of gestures and any number of lists of fires.
 * Fires at a gesture that nobody has confirmed count for nothing.
 */
export class GestureMatch {
  /** Time of each gesture's first fire (µs), NaN where it has none. */
  readonly fireUs: Float64Array;
  /** Fires beyond the first of a gesture, and those that belong to none, in time order. */
  againUs: number[] = [];
  outsideUs: number[] = [];
  private readonly matcher: WindowMatcher;
  private readonly windows: readonly Span[];
  private readonly unjudged: readonly Span[];
  private readonly tellsOutside: boolean;

  constructor({ gestures, unconfirmed, tellsOutside }: ConfirmedGestures) {
    const windows = matchWindowsOf(gestures);
    this.matcher = new WindowMatcher(windows);
    this.windows = windows.map(({ fromUs, toUs }) => ({ startUs: fromUs, endUs: toUs }));
    this.unjudged = unconfirmed.map(windowOf);
    this.tellsOutside = tellsOutside;
    this.fireUs = new Float64Array(gestures.length);
  }

  /** @param firesUs  in time order. */
  assign(firesUs: Float64Array): void {
    const detOfRef = this.matcher.match(firesUs);
    this.fireUs.fill(Number.NaN);
    this.againUs = [];
    this.outsideUs = [];
    const taken = new Uint8Array(firesUs.length);
    for (let ref = 0; ref < detOfRef.length; ++ref) {
      const det = detOfRef[ref]!;
      if (det < 0) continue;
      taken[det] = 1;
      this.fireUs[ref] = firesUs[det]!;
    }
    for (let det = 0; det < firesUs.length; ++det) {
      const us = firesUs[det]!;
      if (taken[det] === 1) continue;
      if (isInOne(this.windows, us)) this.againUs.push(us);
      else if (this.tellsOutside && !isInOne(this.unjudged, us)) this.outsideUs.push(us);
    }
  }
}

function isInOne(windows: readonly Span[], us: number): boolean {
  return windows.some(({ startUs, endUs }) => startUs <= us && us <= endUs);
}
