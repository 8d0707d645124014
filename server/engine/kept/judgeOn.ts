import { deflectionPressesOf } from '../base/buttons.ts';
import type { Press } from '../base/log.ts';
import type { Calibration } from '../calibrate/calibration.ts';
import type { SignalCheck } from '../check/checkSignals.ts';
import { tuningFitness } from '../choose/tuningFitness.ts';
import { whenSwitchedOn } from '../detect/deflectionButton.ts';
import type { Labels } from '../labels/labels.ts';
import type { Motion } from '../motion/motion.ts';
import { computeSignals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import { findTruth } from '../truth/truth.ts';
import { DEFLECTIONS_NOT_KNOWN } from '../words/deflectionButton.ts';
import { evidenceTake, type TakeFacts } from './evidenceTake.ts';
import type { AskedTake } from './judgeSetting.ts';
import { judgeTake } from './judgeTake.ts';

/** A take that is read and checked. `powerPresses` are those of the button that the guard judges. */
export interface CheckedTake {
  readonly facts: TakeFacts;
  readonly motion: Motion;
  readonly check: SignalCheck;
  readonly labels: Labels;
  readonly presses: readonly Press[];
  readonly powerPresses: readonly Press[];
  readonly calibration: Calibration;
}

/** What a take says of a setting. One that is not fit to tune on is told of, and counts for nothing. */
export function judgeOn(
  { facts, motion, check, labels, presses, powerPresses, calibration }: CheckedTake,
  candidate: Candidate,
): AskedTake {
  const unfit = tuningFitness(check, motion);
  const known = evidenceTake(facts, check, unfit);
  const { id, title, performer, leftOut } = known;
  const { leverArmM } = calibration;
  const signals = computeSignals(motion, candidate, presses, deflectionPressesOf(facts));
  const truth = findTruth(motion, labels);
  const isUnknown = whenSwitchedOn(signals, candidate.deflection) === 'unknown';
  const take = isUnknown ? { ...known, cautions: [...known.cautions, DEFLECTIONS_NOT_KNOWN] } : known;
  const counted = leftOut === null ? null : unfit;
  const judged = { id, title, performer, motion, signals, labels, presses, powerPresses, leverArmM, truth };
  return { take, judged: judgeTake({ ...judged, unfit: counted }, candidate) };
}
