/**
 * Mean of the last `samples` samples; the time a sample takes does not depend on their number.
 * A sum that adds the newest sample and subtracts the oldest accumulates rounding errors for ever. So a second sum adds
 * up the samples since the last lap, and replaces the first at the end of each lap, when it holds exactly the samples
 * of the window: the error never exceeds that of one lap's additions, and old samples leave no trace.
 */
export class MovingAverage {
  readonly samples: number;
  private readonly window: Float64Array;
  private at = 0;
  private sum = 0;
  private lapSum = 0;

  /** @throws RangeError  unless samples is a whole number above 0. */
  constructor(samples: number) {
    if (!(Number.isInteger(samples) && samples > 0)) {
      throw new RangeError(`a moving average needs a whole number of samples above 0, got ${samples}`);
    }
    this.samples = samples;
    this.window = new Float64Array(samples);
  }

  step(x: number): number {
    const { window, samples } = this;
    this.sum += x - window[this.at]!;
    this.lapSum += x;
    window[this.at] = x;
    if (++this.at === samples) {
      this.at = 0;
      this.sum = this.lapSum;
      this.lapSum = 0;
    }
    return this.sum / samples;
  }

  /** Forgets all input so far: as if it had always been 0. */
  reset(): void {
    this.prime(0);
  }

  /** The state after an endless input of x. */
  prime(x: number): void {
    this.window.fill(x);
    this.at = 0;
    this.sum = this.samples * x;
    this.lapSum = 0;
  }
}
