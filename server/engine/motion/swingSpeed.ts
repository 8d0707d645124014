import type { SmoothingSettings } from '../candidate.ts';
import { makeSmoother, type Smoother } from '../filter/smoothing.ts';

/** Swing speed √(ω_y² + ω_z²) in deg/s, each axis smoothed before they are joined. Causal. */
export class SwingSpeed {
  private readonly y: Smoother;
  private readonly z: Smoother;

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

  reset(): void {
    this.y.reset();
    this.z.reset();
  }
}
