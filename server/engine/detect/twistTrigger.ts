import { samplesFromMs } from '../base/sampleCount.ts';
import type { TwistSettings } from '../settings/candidate.ts';

/**
 * Twist as a trigger: fires where the twist angle differs by at least angleDeg from its value at some sample of the
 * last W (windowMs in samples, rounded up), with swing speed <= quietDps at that sample and at every one since.
 *
 * - After a fire the window starts anew with the firing sample: a twist that goes on fires again after another
 *   angleDeg.
 * - A sample with speed > quietDps or with NaN in either channel empties the window and never fires.
 * - The angle must run on without a jump; where it is set to zero, `reset` first.
 * - After `reset` (start, gap, a new start of the angle): empty window.
 */
export class TwistTrigger {
  private readonly angleDeg: number;
  private readonly quietDps: number;
  private readonly lowest: SlidingExtreme;
  private readonly highest: SlidingExtreme;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: TwistSettings, rateHz: number) {
    const { angleDeg, windowMs, quietDps } = settings;
    if (!(angleDeg > 0)) throw new RangeError(`twist.angleDeg must be above 0, got ${angleDeg}`);
    if (!(windowMs > 0 && windowMs < Infinity))
      throw new RangeError(`twist.windowMs must be above 0, got ${windowMs}`);
    if (!(quietDps > 0)) throw new RangeError(`twist.quietDps must be above 0, got ${quietDps}`);
    this.angleDeg = angleDeg;
    this.quietDps = quietDps;
    const windowSamples = samplesFromMs(windowMs, rateHz);
    this.lowest = new SlidingExtreme(windowSamples);
    this.highest = new SlidingExtreme(windowSamples);
  }

  /** True where it fires. */
  step(twistDeg: number, speedDps: number): boolean {
    if (!(speedDps <= this.quietDps) || Number.isNaN(twistDeg)) {
      this.reset();
      return false;
    }
    const fromHighest = this.highest.step(-twistDeg) + twistDeg;
    const fromLowest = this.lowest.step(twistDeg) - twistDeg;
    if (fromHighest > -this.angleDeg && fromLowest > -this.angleDeg) return false;
    this.reset();
    this.lowest.step(twistDeg);
    this.highest.step(-twistDeg);
    return true;
  }

  reset(): void {
    this.lowest.reset();
    this.highest.reset();
  }
}

/**
 * Minimum of a value over the current sample and the `windowSamples` before it: a queue of candidates, ever larger
 * towards the newest, in a ring that is allocated once.
 */
class SlidingExtreme {
  private readonly values: Float64Array;
  private readonly ages: Float64Array;
  private readonly windowSamples: number;
  private oldest = 0;
  private count = 0;
  private now = 0;

  constructor(windowSamples: number) {
    this.windowSamples = windowSamples;
    this.values = new Float64Array(windowSamples + 1);
    this.ages = new Float64Array(windowSamples + 1);
  }

  step(value: number): number {
    const { values, ages } = this;
    ++this.now;
    if (this.count > 0 && this.now - ages[this.oldest]! > this.windowSamples) {
      this.oldest = this.wrapped(this.oldest + 1);
      --this.count;
    }
    let next = this.wrapped(this.oldest + this.count);
    while (this.count > 0) {
      const newest = next === 0 ? values.length - 1 : next - 1;
      if (values[newest]! < value) break;
      next = newest;
      --this.count;
    }
    values[next] = value;
    ages[next] = this.now;
    ++this.count;
    return values[this.oldest]!;
  }

  private wrapped(place: number): number {
    return place >= this.values.length ? place - this.values.length : place;
  }

  reset(): void {
    this.count = 0;
  }
}
