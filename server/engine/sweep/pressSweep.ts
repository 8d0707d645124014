import { firstHoldCovering } from './holdBins.ts';
import type { ThresholdWalk } from './thresholdWalk.ts';

/**
 * Presses of one kind that are accepted, for every threshold and hold. At the press each threshold's last high sample
 * lies so many samples back; the holds whose tail covers that refuse the press, all shorter ones accept it.
 */
export class PressSweep {
  private readonly tails: Int32Array;
  private readonly acceptedBelow: Int32Array;
  presses = 0;

  constructor(thresholds: number, tails: Int32Array) {
    this.tails = tails;
    this.acceptedBelow = new Int32Array(thresholds * (tails.length + 1));
  }

  /** A press judged at sample `index`, the last one walked. */
  add(walk: ThresholdWalk, index: number): void {
    const width = this.tails.length + 1;
    ++this.presses;
    for (let t = 0; t < walk.lastHigh.length; ++t) {
      const last = t < walk.highCount ? index : walk.lastHigh[t]!;
      const bin = last < 0 ? this.tails.length : firstHoldCovering(this.tails, index - last);
      this.acceptedBelow[t * width + bin]! += 1;
    }
  }

  accepted(t: number, hold: number): number {
    const width = this.tails.length + 1;
    let sum = 0;
    for (let bin = hold + 1; bin < width; ++bin) sum += this.acceptedBelow[t * width + bin]!;
    return sum;
  }
}
