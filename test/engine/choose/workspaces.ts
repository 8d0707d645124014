import type { SimulatedTake } from '../../../scripts/simulate/take.ts';
import { simulateWorkspace } from '../../../scripts/simulate/workspaces.ts';
import { buildTimeBase } from '../../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../../server/engine/calibrate/calibration.ts';
import type { ChoiceTake } from '../../../server/engine/choose/takeSweep.ts';
import type { Labels } from '../../../server/engine/labels/labels.ts';
import { computeRateMotion, type RateMotion } from '../../../server/engine/motion/motion.ts';
import { computeSpeedSignals } from '../../../server/engine/motion/signals.ts';
import { DEFAULT_CANDIDATE } from '../../../server/engine/settings/candidateRules.ts';
import { findTruth } from '../../../server/engine/truth/truth.ts';

/** A simulated take with what choosing needs of it. */
export interface WorkspaceTake extends ChoiceTake {
  readonly simulated: SimulatedTake;
  readonly motion: RateMotion;
}

/** Takes of one or two performers, each with spins of several kinds, stray presses in them and wanted ones after stops. */
export function randomWorkspace(seed: number, takes = 2): WorkspaceTake[] {
  return simulateWorkspace(seed, { takes }).map((simulated, k) =>
    seen(`take ${k + 1}`, k === 0 ? 'first' : 'second', simulated),
  );
}

export function seen(id: string, performer: string, simulated: SimulatedTake): WorkspaceTake {
  const calibration = {
    ...DEFAULT_CALIBRATION,
    mount: simulated.truth.sensor.mount as typeof DEFAULT_CALIBRATION.mount,
  };
  const motion = computeRateMotion(buildTimeBase(simulated.log).uniform, calibration);
  const labels = labelsOf(simulated);
  return {
    id,
    title: id,
    performer,
    signals: computeSpeedSignals(motion, DEFAULT_CANDIDATE.smoothing),
    presses: simulated.presses,
    labels,
    truth: findTruth(motion, labels),
    simulated,
    motion,
  };
}

function labelsOf({ truth }: SimulatedTake): Labels {
  const by = 'simulation' as const;
  return {
    presses: truth.presses.map(({ downUs, button, intent }) => ({ downUs, button, intent, by })),
    spans: truth.spans.map((span) => ({ ...span, by })),
    swings: [],
  };
}

/** By the exact motion: how long before each press the blade last was at or above a speed; Infinity where it never was. */
export function trueLagsS(
  { simulated }: WorkspaceTake,
  speedDps: number,
): { intent: string; lagS: number }[] {
  const { fine, truth } = simulated;
  return truth.presses.map(({ downUs, intent }) => {
    const at = Math.min(fine.length - 1, Math.floor((downUs / 1e6) * fine.hz));
    for (let i = at; i >= 0; --i)
      if (exactSpeedDps(simulated, i) >= speedDps) return { intent, lagS: (at - i) / fine.hz };
    return { intent, lagS: Infinity };
  });
}

/** By the exact motion: for how long the speed stays below about each reversal; Infinity where it was not there before. */
export function trueDipsS({ simulated }: WorkspaceTake, speedDps: number): number[] {
  const { fine, truth } = simulated;
  return truth.reversals.map(({ timeUs }) => {
    const middle = Math.round((timeUs / 1e6) * fine.hz);
    let from = middle;
    while (from >= 0 && exactSpeedDps(simulated, from) < speedDps) --from;
    let to = middle;
    while (to < fine.length && exactSpeedDps(simulated, to) < speedDps) ++to;
    return from < 0 || to >= fine.length ? Infinity : (to - from) / fine.hz;
  });
}

function exactSpeedDps({ fine }: SimulatedTake, i: number): number {
  return (Math.hypot(fine.rate.y[i]!, fine.rate.z[i]!) * 180) / Math.PI;
}
