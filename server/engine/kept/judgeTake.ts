import { DEFLECTION } from '../choose/deflectionProblem.ts';
import { GESTURE_PROBLEMS } from '../choose/gestures/gestureProblems.ts';
import { GESTURE_MAPS } from '../choose/gestures/maps.ts';
import { GUARD } from '../choose/guardProblem.ts';
import { MOTION } from '../choose/motion/motionProblem.ts';
import { PATIENCE } from '../choose/motion/patience.ts';
import { scoreTake, type TakeScores } from '../compare/takeScores.ts';
import type { Candidate } from '../settings/candidate.ts';
import type { WrongPressStill } from './keptSetting.ts';
import { type ProblemPart, type ProblemWork, problemWork } from './problemWork.ts';
import type { SettingTake } from './settingTake.ts';
import { stillsOf } from './stills.ts';

const pressed = (take: SettingTake) => ({ ...take, presses: take.powerPresses });

/** All that a setting is judged by, in the order in which it is told. */
export const PROBLEM_WORK: readonly ProblemWork[] = [
  problemWork(GUARD, pressed, ({ guard }) => guard),
  problemWork(MOTION, pressed, ({ guard }) => ({ ...guard, patienceMs: PATIENCE.default })),
  problemWork(DEFLECTION, pressed, ({ deflection }) => deflection),
  ...GESTURE_MAPS.map((kind) =>
    problemWork(
      GESTURE_PROBLEMS[kind],
      (take: SettingTake) => take,
      (candidate) => candidate,
    ),
  ),
];

/** What one take says of a setting; nothing in it is as long as the take. */
export interface JudgedTake {
  readonly scores: TakeScores;
  /** In the order of `PROBLEM_WORK`. */
  readonly parts: readonly ProblemPart[];
  readonly stills: readonly WrongPressStill[];
}

export function judgeTake(take: SettingTake, candidate: Candidate): JudgedTake {
  const { signals, powerPresses, labels, truth } = take;
  return {
    scores: scoreTake(signals, powerPresses, labels, candidate, truth),
    parts: PROBLEM_WORK.map((work) => work.judge(take, candidate)),
    stills: stillsOf(take, candidate),
  };
}
