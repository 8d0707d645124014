import { samplesFromMs } from '../base/sampleCount.ts';

/** A rest lasts this long at least; a hand that holds still moves sooner. */
export const REST_BIAS_MS = 1000;
/** Noise that a still sensor may show, of one axis over the whole rest: standard deviations. */
export const REST_GYRO_DPS = 0.5;
export const REST_ACCEL_G = 0.02;
/** No gyro's bias is larger, so that a slow even turn is no rest. */
export const REST_MOST_DPS = 20;

/**
 * The gyro's bias as a prop can find it itself: the mean rate of the last second in which rates and force hardly changed.
 * Seconds follow one another without overlap, so that nothing has to be kept but sums. Sensor frame. Causal.
 */
export class RestBias {
  xDps = 0;
  yDps = 0;
  zDps = 0;
  private readonly needed: number;
  private count = 0;
  /**
   * For each of the six channels its value at the start of the second, and the sum and the sum of squares of the
   * differences from it.
   */
  private readonly first = new Float64Array(6);
  private readonly sum = new Float64Array(6);
  private readonly squares = new Float64Array(6);

  constructor(rateHz: number) {
    this.needed = Math.max(2, samplesFromMs(REST_BIAS_MS, rateHz));
  }

  /** Rates in deg/s and forces in g as the sensor gives them. True at a sample that ends a rest. NaN begins a second anew. */
  step(gx: number, gy: number, gz: number, ax: number, ay: number, az: number): boolean {
    if (Number.isNaN(gx + gy + gz + ax + ay + az)) {
      this.count = 0;
      return false;
    }
    if (this.count === 0) this.begin(gx, gy, gz, ax, ay, az);
    ++this.count;
    this.add(0, gx);
    this.add(1, gy);
    this.add(2, gz);
    this.add(3, ax);
    this.add(4, ay);
    this.add(5, az);
    if (this.count < this.needed) return false;
    this.count = 0;
    if (!this.isRest()) return false;
    this.xDps = this.mean(0);
    this.yDps = this.mean(1);
    this.zDps = this.mean(2);
    return true;
  }

  /** A gap: the second under way is lost, what is known of the bias is kept. */
  reset(): void {
    this.count = 0;
  }

  private begin(gx: number, gy: number, gz: number, ax: number, ay: number, az: number): void {
    this.first.set([gx, gy, gz, ax, ay, az]);
    this.sum.fill(0);
    this.squares.fill(0);
  }

  private add(k: number, value: number): void {
    const d = value - this.first[k]!;
    this.sum[k] = this.sum[k]! + d;
    this.squares[k] = this.squares[k]! + d * d;
  }

  private mean(k: number): number {
    return this.first[k]! + this.sum[k]! / this.needed;
  }

  private isRest(): boolean {
    for (let k = 0; k < 6; ++k) {
      const mean = this.sum[k]! / this.needed;
      const most = k < 3 ? REST_GYRO_DPS : REST_ACCEL_G;
      if (!(this.squares[k]! / this.needed - mean * mean <= most * most)) return false;
      if (k < 3 && !(Math.abs(this.mean(k)) <= REST_MOST_DPS)) return false;
    }
    return true;
  }
}
