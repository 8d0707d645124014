import { samplesFromMs } from '../sampleCount.ts';

const REST_MS = 500;
const QUIET_DPS = 8;
const QUIET_G = 0.06;

/** Whether a prop has been still for 0.5 s, as it could know itself: rate near 0 and force near 1 g all that time. Causal. */
export class StillDetector {
  private readonly needed: number;
  private run = 0;

  constructor(rateHz: number) {
    this.needed = Math.max(1, samplesFromMs(REST_MS, rateHz));
  }

  step(rateDps: number, forceG: number): boolean {
    this.run = rateDps < QUIET_DPS && Math.abs(forceG - 1) < QUIET_G ? this.run + 1 : 0;
    return this.run >= this.needed;
  }

  reset(): void {
    this.run = 0;
  }
}
