import { samplesFromMs } from '../base/sampleCount.ts';
import { ImpactDetector, type ImpactSettings } from '../detect/impact.ts';
import type { Signals } from '../motion/signals.ts';

/**
 * Impacts at many levels, in one pass for all of them: at any sample the levels that the force is at or above are the
 * lowest so many, and just these are disarmed.
 * @param levelsG  rising. @param settings  the settings besides `impactG`.
 * @returns for each level the indices of its fires, as `runImpact` gives them.
 * @throws RangeError  on a setting out of bounds.
 */
export function sweepImpacts(
  signals: Signals,
  levelsG: Float64Array,
  settings: ImpactSettings,
): readonly (readonly number[])[] {
  // Its constructor knows the bounds of every setting; the least level stands for all.
  new ImpactDetector({ ...settings, impactG: levelsG[0]! }, signals.rateHz);
  const { impactG, swingSpeedDps } = signals;
  const allowanceGPerDps = settings.allowanceGPer100Dps / 100;
  const restSamples = samplesFromMs(settings.restMs, signals.rateHz);
  const fires: number[][] = Array.from(levelsG, () => []);
  const lastFire = new Float64Array(levelsG.length);
  for (const { start, end } of signals.segments) {
    lastFire.fill(-Infinity);
    let disarmed = 0;
    for (let i = start; i < end; ++i) {
      const force = impactG[i]!;
      const rise = allowanceGPerDps * swingSpeedDps[i]!;
      // Not `force - rise`: rounded otherwise, a level that is just met would be missed. NaN changes nothing.
      while (disarmed > 0 && force < levelsG[disarmed - 1]! + rise) --disarmed;
      while (disarmed < levelsG.length && force >= levelsG[disarmed]! + rise) {
        if (i - lastFire[disarmed]! >= restSamples) {
          lastFire[disarmed] = i;
          fires[disarmed]!.push(i);
        }
        ++disarmed;
      }
    }
  }
  return fires;
}
