import { samplesFromMs } from '../base/sampleCount.ts';
import type { ImpactSettings } from '../settings/candidate.ts';

type Phase = 'armed' | 'disarmed';

/**
 * Impact: fires where the high-passed specific force reaches a level that rises with swing speed,
 * impactG + allowanceGPer100Dps * speed / 100.
 *
 * - armed -> disarmed at a sample at or above the level: an onset. It fires if at least R samples (restMs, rounded
 *   up) lie since the last fire; otherwise it is swallowed, and disarms all the same.
 * - disarmed -> armed at a sample below the level.
 * - NaN in either channel does neither.
 * - After `reset` (start, gap): armed, with no fire before.
 */
export class ImpactDetector {
  private readonly impactG: number;
  private readonly allowanceGPerDps: number;
  private readonly restSamples: number;
  private phase: Phase = 'armed';
  private restLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: ImpactSettings, rateHz: number) {
    const { impactG, restMs, allowanceGPer100Dps } = settings;
    if (!(impactG > 0)) throw new RangeError(`impact.impactG must be above 0, got ${impactG}`);
    if (!(restMs >= 0 && restMs < Infinity))
      throw new RangeError(`impact.restMs must be 0 or more, got ${restMs}`);
    if (!(allowanceGPer100Dps >= 0 && allowanceGPer100Dps < Infinity)) {
      throw new RangeError(`impact.allowanceGPer100Dps must be 0 or more, got ${allowanceGPer100Dps}`);
    }
    this.impactG = impactG;
    this.allowanceGPerDps = allowanceGPer100Dps / 100;
    this.restSamples = samplesFromMs(restMs, rateHz);
  }

  /** True where it fires. */
  step(impactG: number, speedDps: number): boolean {
    if (this.restLeft > 0) --this.restLeft;
    const levelG = this.impactG + this.allowanceGPerDps * speedDps;
    if (this.phase === 'disarmed') {
      if (impactG < levelG) this.phase = 'armed';
      return false;
    }
    if (!(impactG >= levelG)) return false;
    this.phase = 'disarmed';
    if (this.restLeft > 0) return false;
    this.restLeft = this.restSamples;
    return true;
  }

  reset(): void {
    this.phase = 'armed';
    this.restLeft = 0;
  }
}
