import { DEMO_TAKES, simulateDemoTake } from '../../scripts/simulate/demo/demoTakes.ts';
import type { SimulatedTake } from '../../scripts/simulate/take.ts';
import type { Press } from '../../server/engine/base/log.ts';
import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { type Calibration, DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import type { Labels } from '../../server/engine/labels/labels.ts';
import { computeMotion, type Motion } from '../../server/engine/motion/motion.ts';
import { computeSignals } from '../../server/engine/motion/signals.ts';
import { type Evaluation, evaluate } from '../../server/engine/score/evaluate.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';

/** A simulated take as the engine sees it, with the calibration that is true of it. */
export interface Seen {
  readonly take: SimulatedTake;
  readonly calibration: Calibration;
  readonly motion: Motion;
}

const simulated = new Map<string, SimulatedTake>();

/** A take of the demonstration by its name. Each takes a second to simulate: once is enough for all tests of a file. */
export function demoTake(name: string): SimulatedTake {
  const take = simulated.get(name) ?? simulateDemoTake(DEMO_TAKES.find((demo) => demo.name === name)!);
  simulated.set(name, take);
  return take;
}

export function see(take: SimulatedTake, changes: Partial<Calibration> = {}): Seen {
  const { sensor, bladeLengthM } = take.truth;
  const calibration: Calibration = {
    ...DEFAULT_CALIBRATION,
    mount: sensor.mount as Calibration['mount'],
    leverArmM: sensor.leverArmM[0],
    bladeLengthM,
    ...changes,
  };
  return { take, calibration, motion: computeMotion(buildTimeBase(take.log).uniform, calibration) };
}

/** What the simulation knows, as labels. */
export function labelsOf({ truth }: SimulatedTake): Labels {
  const by = 'simulation' as const;
  return {
    presses: truth.presses.map(({ downUs, button, intent }) => ({ downUs, button, intent, by })),
    spans: truth.spans.map((span) => ({ ...span, by })),
    swings: truth.swings.map(({ startUs, endUs, peakUs }) => ({ startUs, endUs, peakUs, by })),
  };
}

/** What a candidate makes of the take's power presses. */
export function judge(
  seen: Seen,
  candidate: Candidate = DEFAULT_CANDIDATE,
  labels: Labels = labelsOf(seen.take),
): Evaluation {
  const { take, motion } = seen;
  const signals = computeSignals(motion, candidate, take.presses);
  return evaluate(signals, powerPresses(take), labels, candidate, motion);
}

export function powerPresses({ presses }: SimulatedTake): readonly Press[] {
  return presses.filter((press) => press.button.startsWith('power'));
}

export function withGuard(guard: Partial<Candidate['guard']>): Candidate {
  return { ...DEFAULT_CANDIDATE, guard: { ...DEFAULT_CANDIDATE.guard, ...guard } };
}
