import type { Section } from './biquad.ts';

/**
 * First-order smoothing, y += α (x - y), with α = 1 - exp(-2π fc / fs): the step response of an RC low-pass, sampled.
 * (The other common formula, α = Te / (τ + Te), misses its cutoff by 21 % at fc = fs / 10.)
 */
export class FirstOrderLowPass {
  readonly alpha: number;
  private y = 0;

  /** @throws RangeError  unless 0 < cutoffHz < sampleHz / 2. */
  constructor(cutoffHz: number, sampleHz: number) {
    if (!(cutoffHz > 0 && cutoffHz < sampleHz / 2)) {
      throw new RangeError(`cutoffHz must be in (0, ${sampleHz / 2}), got ${cutoffHz}`);
    }
    this.alpha = 1 - Math.exp((-2 * Math.PI * cutoffHz) / sampleHz);
  }

  step(x: number): number {
    this.y += this.alpha * (x - this.y);
    return this.y;
  }

  reset(): void {
    this.y = 0;
  }

  /** The state after an endless input of x. */
  prime(x: number): void {
    this.y = x;
  }

  /** The same as a section, for its response and its delay. */
  get section(): Section {
    return { b0: this.alpha, b1: 0, b2: 0, a1: this.alpha - 1, a2: 0 };
  }
}
