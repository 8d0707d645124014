import { samplesFromMs } from '../base/sampleCount.ts';

export const REST_MS = 500;
export const QUIET_DPS = 8;
/** The force stays within this of its value when the rest began. */
export const QUIET_G = 0.06;
/** An accelerometer without calibration reads gravity as anything from 0.8 to 1.2 g. */
export const SCALE_G = 0.2;

/**
 * Whether a prop has been still for 0.5 s, as it could know itself: a zero-velocity detector on rates near 0 and a
 * steady force near 1 g. NaN ends a rest. Causal.
 */
export class StillDetector {
  private readonly needed: number;
  private run = 0;
  private restG = 1;

  constructor(rateHz: number) {
    this.needed = Math.max(1, samplesFromMs(REST_MS, rateHz));
  }

  /** Magnitudes of rate and force: deg/s with the bias removed, g. */
  step(rateDps: number, forceG: number): boolean {
    const isQuiet = rateDps < QUIET_DPS && Math.abs(forceG - 1) < SCALE_G;
    if (!isQuiet) this.run = 0;
    else if (this.run > 0 && Math.abs(forceG - this.restG) < QUIET_G) ++this.run;
    else {
      this.run = 1;
      this.restG = forceG;
    }
    return this.run >= this.needed;
  }

  reset(): void {
    this.run = 0;
  }
}
