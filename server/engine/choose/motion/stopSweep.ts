import { firstWhere } from '../../statistics/sorted.ts';
import { firstHoldCovering } from '../../sweep/holdBins.ts';

/** The samples after a stop in which a press is wanted: from the end of the patience to the end of the second. */
export interface StopWindow {
  readonly start: number;
  readonly end: number;
}

/**
 * Stops after which the guard is still closed, or closes again, while a press is wanted, for every threshold and hold. A
 * high sample inside the window closes it whatever the hold; one before closes it if the hold reaches the window. So
 * every stop keeps, threshold by threshold, the first hold that is too long.
 */
export class StopSweep {
  readonly stops: number;
  private readonly windows: readonly StopWindow[];
  private readonly tails: Int32Array;
  /** By threshold, then stop. */
  private readonly tooLongFrom: Int32Array;
  private readonly runStart: Int32Array;

  /** @param windows  in time order, apart from one another, none empty. */
  constructor(windows: readonly StopWindow[], thresholds: number, tails: Int32Array) {
    this.windows = windows;
    this.stops = windows.length;
    this.tails = tails;
    this.tooLongFrom = new Int32Array(thresholds * windows.length).fill(tails.length);
    this.runStart = new Int32Array(thresholds);
  }

  rise(t: number, i: number, last: number): void {
    if (last >= 0) this.tail(t, last, i);
    this.runStart[t] = i;
  }

  fall(t: number, i: number): void {
    this.high(t, i);
  }

  /** The segment ends before sample `end`; `last` is the threshold's last high sample, or -1. */
  finish(t: number, isHigh: boolean, last: number, end: number): void {
    if (isHigh) this.high(t, end);
    else if (last >= 0) this.tail(t, last, end);
  }

  late(t: number, hold: number): number {
    let late = 0;
    for (let s = 0; s < this.stops; ++s) if (this.tooLongFrom[t * this.stops + s]! <= hold) ++late;
    return late;
  }

  /** The threshold was high from its last rise to before sample `end`. */
  private high(t: number, end: number): void {
    const start = this.runStart[t]!;
    for (let s = this.firstAfter(start); s < this.stops && this.windows[s]!.start < end; ++s)
      this.tooLongFrom[t * this.stops + s] = 0;
  }

  /** The guard may hold on after `last`, before sample `next` at the latest. */
  private tail(t: number, last: number, next: number): void {
    for (let s = this.firstAfter(last); s < this.stops; ++s) {
      const { start } = this.windows[s]!;
      if (start >= next) return;
      const at = t * this.stops + s;
      const tooLong = firstHoldCovering(this.tails, Math.max(start, last + 1) - last);
      if (tooLong < this.tooLongFrom[at]!) this.tooLongFrom[at] = tooLong;
    }
  }

  /** The first window that ends behind a sample. */
  private firstAfter(sample: number): number {
    return firstWhere(this.stops, (s) => this.windows[s]!.end > sample);
  }
}
