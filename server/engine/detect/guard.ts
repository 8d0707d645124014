import { samplesFromMs } from '../base/sampleCount.ts';
import type { GuardSettings } from '../settings/candidate.ts';

/**
 * Swing-guarded power-off: says, sample by sample, whether a power press would be refused. Three phases, held in two
 * numbers: high (levelDps is the release speed), holding (it is not, but samplesLeft > 0), open (neither).
 *
 * - high: from the first sample with speed >= speedDps until the first with speed < releaseRatio * speedDps. In
 *   between, speed keeps the phase that it had.
 * - holding: closed still while fewer than H samples lie since the last high one, H = holdMs in samples, rounded up.
 *   So the guard stays closed through a dip (last high sample to next high one) of D samples if and only if H >= D.
 *   H = 0 acts as 1: the plain momentary check.
 * - NaN is at or above nothing: it ends `high` and counts as time.
 * - After `reset` (start, gap): open, with nothing known of earlier swings.
 */
export class GuardDetector {
  private readonly speedDps: number;
  private readonly releaseDps: number;
  private readonly holdSamples: number;
  /** The border that applies to the next sample: releaseDps while high, speedDps otherwise. */
  private levelDps: number;
  /** Samples for which it stays closed, the present one included; 0 is open. */
  private samplesLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: GuardSettings, rateHz: number) {
    const { speedDps, holdMs, releaseRatio } = settings;
    if (!(speedDps > 0)) throw new RangeError(`guard.speedDps must be above 0, got ${speedDps}`);
    if (!(holdMs >= 0 && holdMs < Infinity))
      throw new RangeError(`guard.holdMs must be 0 or more, got ${holdMs}`);
    if (!(releaseRatio > 0 && releaseRatio <= 1)) {
      throw new RangeError(`guard.releaseRatio must be in (0, 1], got ${releaseRatio}`);
    }
    this.speedDps = speedDps;
    this.releaseDps = releaseRatio * speedDps;
    this.holdSamples = guardReachSamples(holdMs, rateHz);
    this.levelDps = speedDps;
  }

  /** True while closed. */
  step(speedDps: number): boolean {
    if (speedDps >= this.levelDps) {
      this.levelDps = this.releaseDps;
      this.samplesLeft = this.holdSamples;
      return true;
    }
    this.levelDps = this.speedDps;
    if (this.samplesLeft > 0) --this.samplesLeft;
    return this.samplesLeft > 0;
  }

  reset(): void {
    this.levelDps = this.speedDps;
    this.samplesLeft = 0;
  }
}

/** For how many samples a guard is closed from its last high sample on, that one included: at least 1. */
export function guardReachSamples(holdMs: number, rateHz: number): number {
  return Math.max(1, samplesFromMs(holdMs, rateHz));
}
