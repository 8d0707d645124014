import type { GuardSettings } from '../candidate.ts';
import { samplesFromMs } from '../sampleCount.ts';

type Phase = 'open' | 'high' | 'holding';

/**
 * Swing-guarded power-off: says, sample by sample, whether a power press would be refused.
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
  private phase: Phase = 'open';
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
  }

  /** True while closed. */
  step(speedDps: number): boolean {
    if (speedDps >= (this.phase === 'high' ? this.releaseDps : this.speedDps)) {
      this.phase = 'high';
      this.samplesLeft = this.holdSamples;
    } else if (this.phase !== 'open') {
      this.phase = --this.samplesLeft > 0 ? 'holding' : 'open';
    }
    return this.phase !== 'open';
  }

  reset(): void {
    this.phase = 'open';
    this.samplesLeft = 0;
  }
}

/** For how many samples a guard is closed from its last high sample on, that one included: at least 1. */
export function guardReachSamples(holdMs: number, rateHz: number): number {
  return Math.max(1, samplesFromMs(holdMs, rateHz));
}
