import type { Segment } from '../base/log.ts';
import { samplesFromMs } from '../base/sampleCount.ts';
import { type TwistSettings, TwistTrigger } from '../detect/twistTrigger.ts';
import type { Signals } from '../motion/signals.ts';

/**
 * Twists at many angles, for one take and any number of other settings. One pass finds how far the blade has turned at
 * each sample within the window, as if there had been no fire: no angle fires where that is less. Only behind a fire,
 * whose window starts anew, does an angle need a window of its own, and only until the window holds no sample from before
 * the fire.
 */
export class TwistSweep {
  private readonly signals: Signals;
  private readonly lowest: Extremes;
  private readonly highest: Extremes;
  /** Samples at which the blade has turned by the least angle still asked about, or more; by how much, and their run's end. */
  private readonly index: Int32Array;
  private readonly turnedDeg: Float64Array;
  private readonly runEnd: Int32Array;
  private count = 0;

  constructor(signals: Signals) {
    const { length } = signals.timeUs;
    this.signals = signals;
    this.lowest = new Extremes(signals.twistDeg, -1);
    this.highest = new Extremes(signals.twistDeg, 1);
    this.index = new Int32Array(length);
    this.turnedDeg = new Float64Array(length);
    this.runEnd = new Int32Array(length);
  }

  /**
   * @param anglesDeg  rising. @param settings  the settings besides `angleDeg`.
   * @returns for each angle the indices of its fires, as `runTwistTrigger` gives them.
   * @throws RangeError  on a setting out of bounds.
   */
  fires(anglesDeg: Float64Array, settings: TwistSettings): readonly (readonly number[])[] {
    const { rateHz } = this.signals;
    // Its constructor knows the bounds of every setting; the least angle stands for all.
    new TwistTrigger({ ...settings, angleDeg: anglesDeg[0]! }, rateHz);
    const windowSamples = samplesFromMs(settings.windowMs, rateHz);
    this.count = 0;
    for (const run of this.runs(settings.quietDps)) this.noteTurns(run, windowSamples, anglesDeg[0]!);
    return Array.from(anglesDeg, (angleDeg) => {
      this.keepFrom(angleDeg);
      return this.firesAt(angleDeg, windowSamples);
    });
  }

  /** Stretches within which nothing empties the window: no loud sample, no NaN, no gap and no new start of the angle. */
  private runs(quietDps: number): Segment[] {
    const { twistDeg, twistStarts, swingSpeedDps, segments } = this.signals;
    const runs: Segment[] = [];
    for (const { start, end } of segments) {
      let from = start;
      for (let i = start; i <= end; ++i) {
        const isLoud = i < end && (!(swingSpeedDps[i]! <= quietDps) || Number.isNaN(twistDeg[i]!));
        if (i < end && !isLoud && twistStarts[i] !== 1) continue;
        if (i > from) runs.push({ start: from, end: i });
        from = isLoud ? i + 1 : i;
      }
    }
    return runs;
  }

  private noteTurns({ start, end }: Segment, windowSamples: number, leastDeg: number): void {
    const { lowest, highest } = this;
    const { twistDeg } = this.signals;
    lowest.reset();
    highest.reset();
    for (let i = start; i < end; ++i) {
      const deg = twistDeg[i]!;
      const down = highest.step(i, windowSamples) - deg;
      const up = deg - lowest.step(i, windowSamples);
      if (down < leastDeg && up < leastDeg) continue;
      this.index[this.count] = i;
      this.turnedDeg[this.count] = Math.max(down, up);
      this.runEnd[this.count++] = end;
    }
  }

  /** Larger angles need no sample that has turned by less. */
  private keepFrom(angleDeg: number): void {
    const { index, turnedDeg, runEnd } = this;
    let kept = 0;
    for (let k = 0; k < this.count; ++k) {
      if (turnedDeg[k]! < angleDeg) continue;
      index[kept] = index[k]!;
      turnedDeg[kept] = turnedDeg[k]!;
      runEnd[kept++] = runEnd[k]!;
    }
    this.count = kept;
  }

  private firesAt(angleDeg: number, windowSamples: number): number[] {
    const { index, runEnd, count } = this;
    const { twistDeg } = this.signals;
    const fires: number[] = [];
    for (let k = 0; k < count; ) {
      let fired = index[k]!;
      fires.push(fired);
      // The window now begins with the fire, until it has moved on from it: it only grows.
      let low = twistDeg[fired]!;
      let high = low;
      const end = runEnd[k]!;
      let i = fired + 1;
      for (; i < end && i - fired <= windowSamples; ++i) {
        const deg = twistDeg[i]!;
        if (deg < low) low = deg;
        if (deg > high) high = deg;
        if (high - deg < angleDeg && deg - low < angleDeg) continue;
        fired = i;
        fires.push(fired);
        low = high = deg;
      }
      while (k < count && index[k]! < i) ++k;
    }
    return fires;
  }
}

/** The highest (sign 1) or lowest (−1) value of a column over a sample and those before it within a window. */
class Extremes {
  private readonly values: Float64Array;
  private readonly sign: 1 | -1;
  /** Places of values of which each is more extreme than all behind it, from `first` to before `end`. */
  private readonly queue: Int32Array;
  private first = 0;
  private end = 0;

  constructor(values: Float64Array, sign: 1 | -1) {
    this.values = values;
    this.sign = sign;
    this.queue = new Int32Array(values.length);
  }

  /** @param i  one after that of the last step. */
  step(i: number, windowSamples: number): number {
    const { values, sign, queue } = this;
    const value = sign * values[i]!;
    let { first, end } = this;
    while (end > first && sign * values[queue[end - 1]!]! <= value) --end;
    queue[end++] = i;
    while (queue[first]! < i - windowSamples) ++first;
    this.first = first;
    this.end = end;
    return values[queue[first]!]!;
  }

  reset(): void {
    this.first = 0;
    this.end = 0;
  }
}
