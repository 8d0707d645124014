import { Cascade } from '../filter/biquad.ts';
import { designHighPass } from '../filter/butterworth.ts';

/** Impact: the magnitude of the specific force's fast part, a second-order Butterworth high-pass on each axis. Causal. */
export class ImpactMeter {
  private readonly x: Cascade;
  private readonly y: Cascade;
  private readonly z: Cascade;
  private isPrimed = false;

  /** @throws RangeError  unless 0 < highPassHz < sampleHz / 2. */
  constructor(highPassHz: number, sampleHz: number) {
    const sections = designHighPass(2, highPassHz, sampleHz);
    this.x = new Cascade(sections);
    this.y = new Cascade(sections);
    this.z = new Cascade(sections);
  }

  /** Force in g on three axes. The first sample counts as if it had always been there. A NaN leaves no trace. */
  step(xG: number, yG: number, zG: number): number {
    if (Number.isNaN(xG + yG + zG)) return Number.NaN;
    if (!this.isPrimed) this.prime(xG, yG, zG);
    const fx = this.x.step(xG);
    const fy = this.y.step(yG);
    const fz = this.z.step(zG);
    return Math.sqrt(fx * fx + fy * fy + fz * fz);
  }

  reset(): void {
    this.isPrimed = false;
  }

  private prime(xG: number, yG: number, zG: number): void {
    this.x.prime(xG);
    this.y.prime(yG);
    this.z.prime(zG);
    this.isPrimed = true;
  }
}
