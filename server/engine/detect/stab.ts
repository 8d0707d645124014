import type { StabSettings } from '../candidate.ts';
import { samplesFromMs } from '../sampleCount.ts';

/**
 * A hit counts for a stab from this part of the impact's own level on. That level has to stand above what the force does
 * where a fast swing turns, which a sustained thrust of a quiet blade rules out, and at 200 Hz a sharp hit is soon too
 * short to be seen whole: a shock of 6 g and 4 ms behind a sensor's low-pass of 42 Hz reads 1.0 to 1.4 g on the channel
 * that impacts are told by, a thrust of 3 g into the air 0.4.
 */
export const STAB_HIT_RATIO = 1 / 4;

type Phase = 'idle' | 'building' | 'sustained' | 'waiting' | 'spent';

/**
 * Stab: a sustained thrust of a quiet blade, then an impact.
 *
 * A sample *thrusts* where thrust >= thrustG and speed <= quietDps (NaN in either: it does not).
 *
 * - idle -> building at the first thrusting sample n0; -> sustained at the first n with n - n0 >= S (sustainMs in
 *   samples, rounded up), so with S = 0 at n0 itself; a sample that does not thrust ends `building`.
 * - sustained -> waiting at the first sample that does not thrust. An impact fires while sustained, and while at most
 *   W samples (windowMs, rounded up) lie since the last sustained one.
 * - A second thrust may build up while the first still waits; the first loses nothing by it.
 * - A fire uses the thrust up: after one in the middle of a thrust (spent), that thrust has to end before another
 *   can build.
 * - After `reset` (start, gap): idle.
 */
export class StabDetector {
  private readonly thrustG: number;
  private readonly quietDps: number;
  private readonly sustainSamples: number;
  private readonly windowSamples: number;
  private phase: Phase = 'idle';
  /** Samples since the one at which the thrust under way began. */
  private built = 0;
  /** Samples from now on in which an impact still fires, this one included. */
  private windowLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: StabSettings, rateHz: number) {
    const { thrustG, sustainMs, quietDps, windowMs } = settings;
    if (!(thrustG > 0)) throw new RangeError(`stab.thrustG must be above 0, got ${thrustG}`);
    if (!(sustainMs >= 0 && sustainMs < Infinity)) {
      throw new RangeError(`stab.sustainMs must be 0 or more, got ${sustainMs}`);
    }
    if (!(quietDps > 0)) throw new RangeError(`stab.quietDps must be above 0, got ${quietDps}`);
    if (!(windowMs >= 0 && windowMs < Infinity)) {
      throw new RangeError(`stab.windowMs must be 0 or more, got ${windowMs}`);
    }
    this.thrustG = thrustG;
    this.quietDps = quietDps;
    this.sustainSamples = samplesFromMs(sustainMs, rateHz);
    this.windowSamples = samplesFromMs(windowMs, rateHz);
  }

  /** True where it fires: at the impact's sample. */
  step(thrustG: number, speedDps: number, isImpact: boolean): boolean {
    if (this.windowLeft > 0) --this.windowLeft;
    if (thrustG >= this.thrustG && speedDps <= this.quietDps) this.thrust();
    else this.noThrust();
    if (!isImpact || this.windowLeft === 0) return false;
    this.windowLeft = 0;
    this.phase = this.phase === 'sustained' ? 'spent' : this.phase === 'building' ? 'building' : 'idle';
    return true;
  }

  /** Whether all that went before is forgotten: it would go on in the same way after a reset. */
  get isAsReset(): boolean {
    return this.phase === 'idle' && this.windowLeft === 0;
  }

  reset(): void {
    this.phase = 'idle';
    this.windowLeft = 0;
  }

  private thrust(): void {
    if (this.phase === 'spent') return;
    this.built = this.phase === 'building' || this.phase === 'sustained' ? this.built + 1 : 0;
    this.phase = this.built >= this.sustainSamples ? 'sustained' : 'building';
    if (this.phase === 'sustained') this.windowLeft = this.windowSamples + 1;
  }

  private noThrust(): void {
    this.phase = this.windowLeft > 0 ? 'waiting' : 'idle';
  }
}
