import { firstHoldCovering } from './holdBins.ts';
import type { ThresholdWalk } from './thresholdWalk.ts';

/**
 * Presses of one kind that are accepted, for every threshold and hold. At the press each threshold's last high sample
 * lies so many samples back; the holds whose tail covers that refuse the press, all shorter ones accept it.
 */
export class PressSweep {
  private readonly thresholds: number;
  private readonly tails: Int32Array;
  private readonly acceptedBelow: Int32Array;
  presses = 0;
  private isSummed = false;

  constructor(thresholds: number, tails: Int32Array) {
    this.thresholds = thresholds;
    this.tails = tails;
    this.acceptedBelow = new Int32Array(thresholds * (tails.length + 1));
  }

  /** A press judged at sample `index`, the last one walked. */
  add(walk: ThresholdWalk, index: number): void {
    ++this.presses;
    for (let t = 0; t < walk.lastHigh.length; ++t) this.count(t, this.binAt(walk, t, index));
  }

  /** Presses that no setting of these accepts. */
  addRefused(count: number): void {
    this.presses += count;
  }

  /** A press that is held: `see` every sample of it, the last one walked, then `add` it. */
  hold(): { see(walk: ThresholdWalk, index: number): void; add(): void } {
    const longest = new Int32Array(this.thresholds).fill(0);
    return {
      see: (walk, index) => {
        for (let t = 0; t < longest.length; ++t)
          longest[t] = Math.max(longest[t]!, this.binAt(walk, t, index));
      },
      add: () => {
        ++this.presses;
        for (const [t, bin] of longest.entries()) this.count(t, bin);
      },
    };
  }

  /** The first hold that keeps a threshold closed at a sample; the number of holds where none does. */
  private binAt(walk: ThresholdWalk, t: number, index: number): number {
    const last = t < walk.highCount ? index : walk.lastHigh[t]!;
    return last < 0 ? this.tails.length : firstHoldCovering(this.tails, index - last);
  }

  private count(t: number, bin: number): void {
    this.acceptedBelow[t * (this.tails.length + 1) + bin]! += 1;
  }

  /** Once all presses are added. */
  accepted(t: number, hold: number): number {
    this.sumUp();
    return this.acceptedBelow[t * (this.tails.length + 1) + hold + 1]!;
  }

  /** From here on a bin counts all from it on. */
  private sumUp(): void {
    if (this.isSummed) return;
    this.isSummed = true;
    const { acceptedBelow } = this;
    const width = this.tails.length + 1;
    for (let first = 0; first < acceptedBelow.length; first += width)
      for (let bin = first + width - 2; bin >= first; --bin) acceptedBelow[bin]! += acceptedBelow[bin + 1]!;
  }
}
