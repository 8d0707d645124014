import { buildTimeBase } from '../../server/engine/base/timeBase.ts';
import { DEFAULT_CALIBRATION } from '../../server/engine/calibrate/calibration.ts';
import { runStab, type StabSettings } from '../../server/engine/detect/stab.ts';
import { simulatedGestures } from '../../server/engine/labels/gesturesSimulated.ts';
import { EMPTY_LABELS, type Labels } from '../../server/engine/labels/labels.ts';
import { computeMotion } from '../../server/engine/motion/motion.ts';
import { computeSignals, type Signals } from '../../server/engine/motion/signals.ts';
import { scoreGesture } from '../../server/engine/score/gestureScore.ts';
import { DEFAULT_CANDIDATE } from '../../server/engine/settings/candidateRules.ts';
import type { ArmSensor } from '../simulate/armSensors.ts';
import { ARM_KINDS, type ArmKind, armTake } from '../simulate/armTakes.ts';
import type { Print } from './pair.ts';

const RATE_HZ: Readonly<Record<ArmSensor, number>> = { ideal: 500, good: 200, poor: 100 };

/** A stab as it was before it asked for quiet: what version 1 of a candidate file is given. */
export const FORMER_STAB: StabSettings = {
  ...DEFAULT_CANDIDATE.stab,
  quietBeforeMs: 0,
  untilHitDps: 10000,
  hitRatio: 0.25,
};

interface StabTake {
  readonly signals: Signals;
  readonly labels: Labels;
}

/** A take of swings, parries, stops that ring and thrusts, every second of them into a pad, as a candidate sees it. */
export function stabTake(kind: ArmKind, sensor: ArmSensor, seed: number): StabTake {
  const take = armTake({
    kind,
    sensor,
    seed,
    rateHz: RATE_HZ[sensor],
    blows: true,
    thrusts: kind === 'thrusts' ? 8 : 4,
  });
  const calibration = { ...DEFAULT_CALIBRATION, leverArmM: take.arm.leverArmM };
  const motion = computeMotion(buildTimeBase(take.log).uniform, calibration);
  const gestures = simulatedGestures({ thrusts: take.truth.thrusts });
  return {
    signals: computeSignals(motion, DEFAULT_CANDIDATE, []),
    labels: { ...EMPTY_LABELS, gestures },
  };
}

interface StabCounts {
  readonly thrusts: number;
  readonly found: number;
  /** Stabs at no thrust into a pad, and second ones at one. */
  readonly falseOnes: number;
}

/** What a stab with these settings finds in the takes, all together. */
export function countStabs(takes: readonly StabTake[], stab: StabSettings): StabCounts {
  const candidate = { ...DEFAULT_CANDIDATE, stab };
  return takes.reduce<StabCounts>(
    (sum, { signals, labels }) => {
      const stabs = runStab(signals, stab, candidate.impact);
      const { hit, again, falseFires } = scoreGesture('stab', signals, stabs, labels, candidate);
      return {
        thrusts: sum.thrusts + hit.n,
        found: sum.found + hit.k,
        falseOnes: sum.falseOnes + again + (falseFires ?? 0),
      };
    },
    { thrusts: 0, found: 0, falseOnes: 0 },
  );
}

const TAKES = 20;

/** Stabs found and false ones, of the rule before and the one now, over kinds of motion and sensors: 20 takes each. */
export function benchStabs(print: Print): void {
  const shown = ({ found, thrusts, falseOnes }: StabCounts) =>
    `${found}/${thrusts} found, ${falseOnes} false`;
  for (const kind of ARM_KINDS) {
    for (const sensor of ['ideal', 'good', 'poor'] as const) {
      const takes = Array.from({ length: TAKES }, (_, k) => stabTake(kind, sensor, 1000 + k));
      const before = shown(countStabs(takes, FORMER_STAB));
      print(
        `${kind.padEnd(12)} ${sensor.padEnd(5)}  before ${before.padEnd(24)} now ${shown(countStabs(takes, DEFAULT_CANDIDATE.stab))}`,
      );
    }
  }
}
