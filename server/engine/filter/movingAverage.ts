/**
 * Mean of the last so many samples, at one price a sample however many they are.
 *
 * A sum that is kept by adding the newest sample and taking the oldest away gathers rounding for ever. So beside it a
 * second sum gathers the samples since the last lap, by additions alone, and takes its place at the end of each lap, when
 * it holds just the samples of the window: the error never exceeds that of one lap's additions, and old samples leave
 * no trace.
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

  /** All that was before is forgotten: as if the input had always been 0. */
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
