import { samplesFromMs } from '../base/sampleCount.ts';
import type { StabSettings } from '../settings/candidate.ts';

type Phase = 'idle' | 'building' | 'sustained' | 'waiting' | 'spent';

/**
 * Stab: a sustained thrust of a blade that has been quiet for a while, then an impact before the blade swings.
 *
 * A sample is *quiet* where speed <= quietDps, and *thrusts* where it is quiet and thrust >= thrustG (NaN in either: it
 * does not).
 *
 * - A thrust begins at the first thrusting sample n0. Where fewer than Q samples before n0 (quietBeforeMs in samples,
 *   rounded up) were quiet without a break, it is spent: the hand goes along with a swing as it starts, stops and turns
 *   back. What came before `reset` is not known, so not quiet.
 * - Otherwise idle -> building at n0; -> sustained at the first n with n - n0 >= S (sustainMs in samples, rounded up), so
 *   with S = 0 at n0 itself; a sample that does not thrust ends `building`.
 * - sustained -> waiting at the first sample that does not thrust. An impact fires while sustained, and while at most
 *   W samples (windowMs, rounded up) lie since the last sustained one; a sample with speed > untilHitDps, the impact's
 *   own included, ends the wait.
 * - A second thrust may build up while the first still waits; the first loses nothing by it.
 * - A fire uses the thrust up: after one in the middle of a thrust (spent), that thrust has to end before another
 *   can build.
 * - After `reset` (start, gap): idle.
 */
export class StabDetector {
  private readonly thrustG: number;
  private readonly quietDps: number;
  private readonly untilHitDps: number;
  private readonly sustainSamples: number;
  private readonly quietSamples: number;
  private readonly windowSamples: number;
  private phase: Phase = 'idle';
  /** Samples since the one at which the thrust under way began. */
  private built = 0;
  /** Quiet samples without a break just before this one. */
  private quietFor = 0;
  /** Samples from now on in which an impact still fires, this one included. */
  private windowLeft = 0;

  /** @throws RangeError  on a setting out of bounds. */
  constructor(settings: StabSettings, rateHz: number) {
    const { thrustG, sustainMs, quietDps, quietBeforeMs, windowMs, untilHitDps } = settings;
    for (const [name, value] of Object.entries({ thrustG, quietDps, untilHitDps })) {
      if (!(value > 0)) throw new RangeError(`stab.${name} must be above 0, got ${value}`);
    }
    for (const [name, value] of Object.entries({ sustainMs, quietBeforeMs, windowMs })) {
      if (!(value >= 0 && value < Infinity)) {
        throw new RangeError(`stab.${name} must be 0 or more, got ${value}`);
      }
    }
    this.thrustG = thrustG;
    this.quietDps = quietDps;
    this.untilHitDps = untilHitDps;
    this.sustainSamples = samplesFromMs(sustainMs, rateHz);
    this.quietSamples = samplesFromMs(quietBeforeMs, rateHz);
    this.windowSamples = samplesFromMs(windowMs, rateHz);
  }

  /** True where it fires: at the impact's sample. */
  step(thrustG: number, speedDps: number, isImpact: boolean): boolean {
    if (this.windowLeft > 0) --this.windowLeft;
    const isQuiet = speedDps <= this.quietDps;
    if (isQuiet && thrustG >= this.thrustG) this.thrust();
    else this.noThrust();
    if (speedDps > this.untilHitDps) this.windowLeft = 0;
    this.quietFor = isQuiet ? this.quietFor + 1 : 0;
    if (!isImpact || this.windowLeft === 0) return false;
    this.windowLeft = 0;
    if (this.phase === 'sustained') this.phase = 'spent';
    else if (this.phase === 'waiting') this.phase = 'idle';
    return true;
  }

  /** Whether all that went before is forgotten but how long the blade was quiet: it would go on in the same way after a reset that knows of that. */
  get isAsReset(): boolean {
    return this.phase === 'idle' && this.windowLeft === 0;
  }

  /** @param quietFor  how many quiet samples are known to have gone before, without a break. */
  reset(quietFor = 0): void {
    this.phase = 'idle';
    this.quietFor = quietFor;
    this.windowLeft = 0;
  }

  private thrust(): void {
    if (this.phase === 'spent') return;
    const isUnderWay = this.phase === 'building' || this.phase === 'sustained';
    if (!isUnderWay && this.quietFor < this.quietSamples) {
      this.phase = 'spent';
      return;
    }
    this.built = isUnderWay ? this.built + 1 : 0;
    this.phase = this.built >= this.sustainSamples ? 'sustained' : 'building';
    if (this.phase === 'sustained') this.windowLeft = this.windowSamples + 1;
  }

  private noThrust(): void {
    this.phase = this.windowLeft > 0 ? 'waiting' : 'idle';
  }
}
