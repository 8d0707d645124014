/** What happens to thresholds while a speed goes over them. */
interface ThresholdEvents {
  /** Sample i is the first high one of threshold t; `last` is its last high sample before, -1 where there is none. */
  rise(t: number, i: number, last: number): void;
  /** Sample i is the first one of threshold t that is not high any more. */
  fall(t: number, i: number): void;
}

/**
 * Which of many thresholds are high, in one pass for all of them. A threshold is high from the first sample at or above
 * its speed to the first that is not at or above its release speed, as in the guard. Whatever is high at one threshold
 * is high at every lower one: the high ones are always the first so many, and only crossings cost anything.
 */
export class ThresholdWalk {
  /** Thresholds 0 to highCount - 1 are high at the last sample walked. */
  highCount = 0;
  /** Last high sample of those that are not. -1 where there is none since the reset. */
  readonly lastHigh: Int32Array;
  private readonly speedsDps: Float64Array;
  private readonly releasesDps: Float64Array;

  /** @param speedsDps  rising; @param releaseRatio  in (0, 1]. */
  constructor(speedsDps: Float64Array, releaseRatio: number) {
    if (!(releaseRatio > 0 && releaseRatio <= 1)) {
      throw new RangeError(`releaseRatio must be in (0, 1], got ${releaseRatio}`);
    }
    this.speedsDps = speedsDps;
    this.releasesDps = speedsDps.map((speedDps) => releaseRatio * speedDps);
    this.lastHigh = new Int32Array(speedsDps.length).fill(-1);
  }

  reset(): void {
    this.highCount = 0;
    this.lastHigh.fill(-1);
  }

  /** Walks over samples `from` to `to - 1`. */
  walk(speedDps: Float64Array, from: number, to: number, events: ThresholdEvents): void {
    const { speedsDps, releasesDps, lastHigh } = this;
    const count = speedsDps.length;
    let high = this.highCount;
    for (let i = from; i < to; ++i) {
      const v = speedDps[i]!;
      while (high > 0 && !(v >= releasesDps[high - 1]!)) {
        --high;
        lastHigh[high] = i - 1;
        events.fall(high, i);
      }
      while (high < count && v >= speedsDps[high]!) {
        events.rise(high, i, lastHigh[high]!);
        ++high;
      }
    }
    this.highCount = high;
  }
}
