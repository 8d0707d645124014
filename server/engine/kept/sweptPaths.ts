import { DEFLECTION } from '../choose/deflectionProblem.ts';
import { GESTURE_PROBLEMS } from '../choose/gestures/gestureProblems.ts';
import { GUARD } from '../choose/guardProblem.ts';
import { MOTION } from '../choose/motion/motionProblem.ts';
import type { ProblemKind, Weighing } from '../choose/problem.ts';
import type { NumberPath } from '../settings/candidateRules.ts';

const PROBLEMS: Readonly<Record<ProblemKind, Pick<Weighing, 'group' | 'x' | 'y'>>> = {
  guard: GUARD,
  motion: MOTION,
  deflection: DEFLECTION,
  ...GESTURE_PROBLEMS,
};

/** The two settings that a problem is about, by their paths. */
export function sweptPaths(kind: ProblemKind): { readonly x: NumberPath; readonly y: NumberPath } {
  const { group, x, y } = PROBLEMS[kind];
  return { x: `${group}.${x.field}` as NumberPath, y: `${group}.${y.field}` as NumberPath };
}
