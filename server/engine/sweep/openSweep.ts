import type { Segment } from '../base/log.ts';
import { firstHoldCovering } from './holdBins.ts';

/**
 * Closed samples inside given ranges, for every threshold and hold: a guard is closed at each high sample, and of the
 * samples between two high runs at the first so many that the hold covers. So the time closed is own time plus, over the
 * gaps, the smaller of gap and hold; gaps are counted by the first hold that covers them, and all holds come in one sum.
 */
export class OpenSweep {
  private readonly ranges: readonly Segment[];
  private readonly tails: Int32Array;
  /** Samples inside ranges before the one at which a high run of the threshold began or ended. */
  private readonly insideAtTurn: Float64Array;
  private readonly own: Float64Array;
  private readonly gapCount: Float64Array;
  private readonly gapSum: Float64Array;
  /** What gaps that are only partly inside add, hold by hold. */
  private readonly partly: Float64Array;
  private range = 0;
  private insideBefore = 0;
  private isSummed = false;

  /** @param ranges  in time order, apart from one another. */
  constructor(ranges: readonly Segment[], thresholds: number, tails: Int32Array) {
    this.ranges = ranges;
    this.tails = tails;
    this.insideAtTurn = new Float64Array(thresholds);
    this.own = new Float64Array(thresholds);
    this.gapCount = new Float64Array(thresholds * (tails.length + 1));
    this.gapSum = new Float64Array(thresholds * (tails.length + 1));
    this.partly = new Float64Array(thresholds * tails.length);
  }

  get total(): number {
    return this.ranges.reduce((sum, { start, end }) => sum + end - start, 0);
  }

  rise(t: number, i: number, last: number): void {
    const inside = this.inside(i);
    if (last >= 0) this.closeGap(t, last, i, inside);
    this.insideAtTurn[t] = inside;
  }

  fall(t: number, i: number): void {
    const inside = this.inside(i);
    this.own[t]! += inside - this.insideAtTurn[t]!;
    this.insideAtTurn[t] = inside;
  }

  /** The segment ends before sample `end`; `last` is the threshold's last high sample, or -1. */
  finish(t: number, isHigh: boolean, last: number, end: number): void {
    if (isHigh) this.own[t]! += this.inside(end) - this.insideAtTurn[t]!;
    else if (last >= 0) this.closeGap(t, last, end, this.inside(end));
  }

  /** Once all segments are finished. */
  closed(t: number, hold: number): number {
    this.sumUp();
    const bin = t * (this.tails.length + 1) + hold;
    const gaps = this.gapSum[bin]! + this.tails[hold]! * this.gapCount[bin + 1]!;
    return this.own[t]! + this.partly[t * this.tails.length + hold]! + gaps;
  }

  /** From here on `gapSum` is that of all gaps up to a bin, `gapCount` that of all from a bin on: whole numbers, so exact. */
  private sumUp(): void {
    if (this.isSummed) return;
    this.isSummed = true;
    const { gapSum, gapCount } = this;
    const width = this.tails.length + 1;
    for (let first = 0; first < gapSum.length; first += width) {
      for (let bin = first + 1; bin < first + width; ++bin) gapSum[bin]! += gapSum[bin - 1]!;
      for (let bin = first + width - 2; bin >= first; --bin) gapCount[bin]! += gapCount[bin + 1]!;
    }
  }

  private closeGap(t: number, last: number, next: number, insideAtNext: number): void {
    const gap = next - last - 1;
    const insideGap = insideAtNext - this.insideAtTurn[t]!;
    if (insideGap === 0) return;
    if (insideGap < gap) {
      this.closePartly(t, last, next);
      return;
    }
    const bin = t * (this.tails.length + 1) + firstHoldCovering(this.tails, gap);
    this.gapCount[bin]! += 1;
    this.gapSum[bin]! += gap;
  }

  private closePartly(t: number, last: number, next: number): void {
    for (let hold = 0; hold < this.tails.length; ++hold) {
      const end = Math.min(next, last + 1 + this.tails[hold]!);
      let sum = 0;
      for (let r = this.range; r >= 0; --r) {
        const range = this.ranges[r];
        if (range === undefined) continue;
        if (range.end <= last + 1) break;
        sum += Math.max(0, Math.min(end, range.end) - Math.max(last + 1, range.start));
      }
      this.partly[t * this.tails.length + hold]! += sum;
    }
  }

  /** Samples inside ranges before sample i; i never goes back. */
  private inside(i: number): number {
    while (this.range < this.ranges.length && this.ranges[this.range]!.end <= i) {
      const { start, end } = this.ranges[this.range]!;
      this.insideBefore += end - start;
      ++this.range;
    }
    const range = this.ranges[this.range];
    return this.insideBefore + (range !== undefined && range.start < i ? i - range.start : 0);
  }
}
