import type { MatchWindow } from './matchWindow.ts';

/**
 * Matches events whose windows may lie in any order and inside one another, where pairs in time order are not the best:
 * an event and its detection may have another pair between them. Shortest augmenting paths, each found by relaxing until
 * nothing gets shorter: of all ways to have k pairs one with the least total distance, for k = 1, 2, ... until no more can
 * be had. Whole microseconds keep it exact.
 * Source: Ahuja, Magnanti and Orlin, Network Flows (1993), section 9.7, successive shortest paths [from memory].
 */
export class NestedMatcher {
  private readonly windows: readonly MatchWindow[];
  private readonly detOfRef: Int32Array;
  private readonly first: Int32Array;
  private readonly end: Int32Array;
  /** The shortest path to each event: its length, and the event and the detection before it. */
  private readonly lengthUs: Float64Array;
  private readonly refBefore: Int32Array;
  private readonly detBefore: Int32Array;
  private refOfDet = new Int32Array(0);

  constructor(windows: readonly MatchWindow[]) {
    const n = windows.length;
    this.windows = windows;
    this.detOfRef = new Int32Array(n);
    this.first = new Int32Array(n);
    this.end = new Int32Array(n);
    this.lengthUs = new Float64Array(n);
    this.refBefore = new Int32Array(n);
    this.detBefore = new Int32Array(n);
  }

  /** For each event the place of its detection, or -1. The array is overwritten by the next call. @param detUs  in time order. */
  match(detUs: Float64Array): Int32Array {
    this.detOfRef.fill(-1);
    this.refOfDet = new Int32Array(detUs.length).fill(-1);
    this.windows.forEach(({ fromUs, toUs }, ref) => {
      let first = 0;
      while (first < detUs.length && detUs[first]! < fromUs) ++first;
      let end = first;
      while (end < detUs.length && detUs[end]! <= toUs) ++end;
      this.first[ref] = first;
      this.end[ref] = end;
    });
    while (this.addPair(detUs));
    return this.detOfRef;
  }

  /** One pair more, the others changed as it needs; false where there can be no more. */
  private addPair(detUs: Float64Array): boolean {
    this.findWays(detUs);
    let [lastRef, lastDet, shortestUs] = [-1, -1, Infinity];
    for (let ref = 0; ref < this.windows.length; ++ref) {
      for (let det = this.first[ref]!; det < this.end[ref]!; ++det) {
        const us = this.lengthUs[ref]! + this.gapUs(ref, det, detUs);
        if (this.refOfDet[det] === -1 && us < shortestUs) [lastRef, lastDet, shortestUs] = [ref, det, us];
      }
    }
    if (lastRef < 0) return false;
    for (let [ref, det] = [lastRef, lastDet]; ref >= 0; ) {
      const [nextRef, nextDet] = [this.refBefore[ref]!, this.detBefore[ref]!];
      this.detOfRef[ref] = det;
      this.refOfDet[det] = ref;
      [ref, det] = [nextRef, nextDet];
    }
    return true;
  }

  /** The shortest ways from the events without a detection to all that could give theirs away. */
  private findWays(detUs: Float64Array): void {
    this.refBefore.fill(-1);
    this.detBefore.fill(-1);
    this.lengthUs.forEach((_, ref) => {
      this.lengthUs[ref] = this.detOfRef[ref] === -1 ? 0 : Infinity;
    });
    for (let isShorter = true; isShorter; ) {
      isShorter = false;
      for (let ref = 0; ref < this.windows.length; ++ref) {
        if (this.lengthUs[ref]! < Infinity && this.goOn(ref, detUs)) isShorter = true;
      }
    }
  }

  /** Takes the ways through one event to those whose detections it could have; whether any got shorter. */
  private goOn(ref: number, detUs: Float64Array): boolean {
    let isShorter = false;
    for (let det = this.first[ref]!; det < this.end[ref]!; ++det) {
      const owner = this.refOfDet[det]!;
      if (owner === -1 || owner === ref) continue;
      const us = this.lengthUs[ref]! + this.gapUs(ref, det, detUs) - this.gapUs(owner, det, detUs);
      if (us >= this.lengthUs[owner]!) continue;
      this.lengthUs[owner] = us;
      this.refBefore[owner] = ref;
      this.detBefore[owner] = det;
      isShorter = true;
    }
    return isShorter;
  }

  private gapUs(ref: number, det: number, detUs: Float64Array): number {
    return Math.abs(detUs[det]! - this.windows[ref]!.atUs);
  }
}
