import { Cascade } from '../filter/biquad.ts';
import { designHighPass } from '../filter/butterworth.ts';

/** Impact: the magnitude of the specific force's fast part, a second-order Butterworth high-pass on each axis. Causal. */
export class ImpactMeter {
  private readonly axes: readonly [Cascade, Cascade, Cascade];
  private isPrimed = false;

  /** @throws RangeError  unless 0 < highPassHz < sampleHz / 2. */
  constructor(highPassHz: number, sampleHz: number) {
    const sections = designHighPass(2, highPassHz, sampleHz);
    this.axes = [new Cascade(sections), new Cascade(sections), new Cascade(sections)];
  }

  /** Force in g on three axes; what stands at the first sample counts as having always stood. */
  step(xG: number, yG: number, zG: number): number {
    const [x, y, z] = this.axes;
    if (!this.isPrimed) {
      x.prime(xG);
      y.prime(yG);
      z.prime(zG);
      this.isPrimed = true;
    }
    const fx = x.step(xG);
    const fy = y.step(yG);
    const fz = z.step(zG);
    return Math.sqrt(fx * fx + fy * fy + fz * fz);
  }

  reset(): void {
    this.isPrimed = false;
  }
}
