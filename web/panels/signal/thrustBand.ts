import { pullG } from '../../../server/engine/calibrate/armSpread.ts';
import { armReachM } from '../../../server/engine/check/lever.ts';
import type { Signals } from '../../../server/engine/motion/signals.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { checkOf } from './signalState.ts';

/**
 * How far the lever arm of single swings reaches from what is set, once the take's check knows; 0 where no arm is set or
 * none is sure.
 */
export function armReachOf(take: OpenTake): number {
  const data = checkOf(take)?.data;
  if (!data?.lever || !data.found.arm?.isSure || !(take.document.calibration.leverArmM > 0)) return 0;
  return armReachM(data.lever);
}

/** Thrust as it would be with the lever arm at either end of its reach. */
export function thrustBand(
  { thrustG, swingSpeedDps }: Pick<Signals, 'thrustG' | 'swingSpeedDps'>,
  reachM: number,
): readonly [Float64Array, Float64Array] {
  const low = new Float64Array(thrustG.length);
  const high = new Float64Array(thrustG.length);
  for (let i = 0; i < low.length; ++i) {
    const offG = pullG(reachM, swingSpeedDps[i]!);
    low[i] = thrustG[i]! - offG;
    high[i] = thrustG[i]! + offG;
  }
  return [low, high];
}
