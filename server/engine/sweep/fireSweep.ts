import { samplesFromMs } from '../base/sampleCount.ts';
import type { DeflectionSettings } from '../detect/deflection.ts';
import type { SwitchedOn } from '../detect/deflectionButton.ts';
import type { SpeedSignals } from '../motion/signals.ts';

/**
 * Fires of the deflection at many speeds, in one pass for all of them.
 *
 * At any sample the speeds that it is at or above are the lowest so many; so are those that are disarmed, because a
 * lower speed is reached no later, held no shorter, and armed again no sooner than a higher one. Two counts stand for
 * the phases of all detectors, and only crossings cost anything. While deflections are off, a sample is at or above no
 * speed, and arms all the same.
 * @param speedsDps  rising. @param settings  the settings besides `speedDps`. @param on  when deflections are on
 * @returns for each speed the indices of its fires, as `runDeflection` gives them.
 */
export function sweepFires(
  signals: SpeedSignals,
  speedsDps: Float64Array,
  settings: DeflectionSettings,
  on: Exclude<SwitchedOn, 'unknown'>,
): readonly (readonly number[])[] {
  const walk = new FireWalk(speedsDps, settings, signals.rateHz);
  for (const { start, end } of signals.segments) {
    walk.reset();
    walk.walk(signals.swingSpeedDps, start, end, on === 'always' ? null : on);
  }
  return walk.fires;
}

class FireWalk {
  readonly fires: readonly number[][];
  private readonly speedsDps: Float64Array;
  private readonly rearmsDps: Float64Array;
  private readonly restSamples: number;
  private readonly confirmSamples: number;
  /** First sample of the run at or above each speed, for those that the present sample is at or above. */
  private readonly runStart: Int32Array;
  private readonly lastFire: Float64Array;

  constructor(speedsDps: Float64Array, settings: DeflectionSettings, rateHz: number) {
    this.speedsDps = speedsDps;
    this.rearmsDps = speedsDps.map((speedDps) => settings.rearmRatio * speedDps);
    this.restSamples = samplesFromMs(settings.restMs, rateHz);
    this.confirmSamples = samplesFromMs(settings.confirmMs, rateHz);
    this.runStart = new Int32Array(speedsDps.length);
    this.lastFire = new Float64Array(speedsDps.length);
    this.fires = Array.from(speedsDps, () => []);
  }

  reset(): void {
    this.lastFire.fill(-Infinity);
  }

  walk(speedDps: Float64Array, from: number, to: number, on: Uint8Array | null): void {
    const { speedsDps, rearmsDps, runStart, confirmSamples } = this;
    const count = speedsDps.length;
    let above = 0;
    let disarmed = 0;
    for (let i = from; i < to; ++i) {
      const v = speedDps[i]!;
      const reached = on === null || on[i] === 1 ? v : Number.NaN;
      while (above > 0 && !(reached >= speedsDps[above - 1]!)) --above;
      while (above < count && reached >= speedsDps[above]!) runStart[above++] = i;
      while (disarmed > 0 && v < rearmsDps[disarmed - 1]!) --disarmed;
      while (disarmed < above && i - runStart[disarmed]! >= confirmSamples) this.onset(disarmed++, i);
    }
  }

  private onset(t: number, i: number): void {
    if (i - this.lastFire[t]! < this.restSamples) return;
    this.lastFire[t] = i;
    this.fires[t]!.push(i);
  }
}
