import type { Segment } from '../base/log.ts';
import { StabDetector, type StabSettings } from '../detect/stab.ts';
import type { Signals } from '../motion/signals.ts';

/**
 * Stabs at many thrusts. Each has a detector of its own, but these run only where it matters: on the stretches in which
 * the lowest thrust, undisturbed by hits and by what the blade did before, has begun something, and which hold a hit.
 * Whatever a higher thrust begins lies inside such a stretch; outside, its detector is as after a reset.
 * @param thrustsG  rising. @param settings  the settings besides `thrustG`. @param hits  samples at which a hit is told.
 * @returns for each thrust the indices of its fires, as `runStab` gives them.
 * @throws RangeError  on a setting out of bounds.
 */
export function sweepStabs(
  signals: Signals,
  thrustsG: Float64Array,
  settings: StabSettings,
  hits: Int32Array,
): readonly (readonly number[])[] {
  const lowest = new StabDetector({ ...settings, thrustG: thrustsG[0]!, quietBeforeMs: 0 }, signals.rateHz);
  if (hits.length === 0) return Array.from(thrustsG, () => []);
  const isHit = new Uint8Array(signals.timeUs.length);
  for (const index of hits) isHit[index] = 1;
  const stretches = stretchesOf(signals, lowest, settings.quietDps).filter(({ start, end }) => {
    const hit = isHit.indexOf(1, start);
    return hit >= 0 && hit < end;
  });
  return Array.from(thrustsG, (thrustG) =>
    firesIn(signals, stretches, isHit, new StabDetector({ ...settings, thrustG }, signals.rateHz)),
  );
}

/** `quietFor` samples just before the stretch were quiet. */
type Stretch = Segment & { readonly quietFor: number };

/** From the sample at which the detector begins something to that at which it has forgotten it, were there no hits. */
function stretchesOf(
  { segments, thrustG, swingSpeedDps }: Signals,
  detector: StabDetector,
  quietDps: number,
): Stretch[] {
  const stretches: Stretch[] = [];
  for (const segment of segments) {
    detector.reset();
    let [start, quietFor, quietNow] = [-1, 0, 0];
    for (let i = segment.start; i < segment.end; ++i) {
      detector.step(thrustG[i]!, swingSpeedDps[i]!, false);
      if (!detector.isAsReset && start < 0) [start, quietFor] = [i, quietNow];
      quietNow = swingSpeedDps[i]! <= quietDps ? quietNow + 1 : 0;
      if (start < 0 || !(detector.isAsReset || i + 1 === segment.end)) continue;
      stretches.push({ start, end: i + 1, quietFor });
      start = -1;
    }
  }
  return stretches;
}

function firesIn(
  { thrustG, swingSpeedDps }: Signals,
  stretches: readonly Stretch[],
  isHit: Uint8Array,
  detector: StabDetector,
): number[] {
  const fires: number[] = [];
  for (const { start, end, quietFor } of stretches) {
    detector.reset(quietFor);
    for (let i = start; i < end; ++i)
      if (detector.step(thrustG[i]!, swingSpeedDps[i]!, isHit[i] === 1)) fires.push(i);
  }
  return fires;
}
