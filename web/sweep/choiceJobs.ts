import { DEFLECTION } from '../../server/engine/choose/deflectionProblem.ts';
import { evidenceOf } from '../../server/engine/choose/evidence.ts';
import { GESTURE_PROBLEMS } from '../../server/engine/choose/gestures/gestureProblems.ts';
import {
  GESTURE_MAPS,
  type GestureBase,
  type GestureMapKind,
} from '../../server/engine/choose/gestures/maps.ts';
import type { GestureTake } from '../../server/engine/choose/gestures/take.ts';
import { GUARD } from '../../server/engine/choose/guardProblem.ts';
import { findAgreement, soonPresses } from '../../server/engine/choose/motion/agreement.ts';
import { MOTION } from '../../server/engine/choose/motion/motionProblem.ts';
import { type ProblemKind, recordOf } from '../../server/engine/choose/problem.ts';
import { GUARD_AXES } from '../../server/engine/choose/takeSweep.ts';
import {
  heldOf,
  plainOf,
  sweepHeld,
  sweepHysteresis,
  sweepPlain,
} from '../../server/engine/choose/tradeOff.ts';
import { sumGuardSweeps } from '../../server/engine/sweep/guardSweep.ts';
import type { ReadTake, TakeReader } from '../takes/reader.ts';
import { type AnyChoiceWork, ChoiceWork, type TakesOf } from './choiceJob.ts';
import type { DeflectionJob, GestureJob, GuardJob, MotionJob, TakeInput, TradeOff } from './jobs.ts';
import type { Surroundings } from './runner.ts';

/** Reads swing speeds alone: guard and deflection see nothing else. */
const rates = {
  read: (
    { smoothing }: Pick<GuardJob, 'smoothing'>,
    input: TakeInput,
    reader: TakeReader,
    nextId?: string,
  ): Promise<ReadTake> => reader.read(input, smoothing, nextId),
};

const guardWork = new ChoiceWork(GUARD, rates, (value) => ({ kind: 'guard', ...value }), {
  of: (take, base, grid): TradeOff => ({
    plain: isSame(base, plainOf(base)) ? grid : sweepPlain(take, base, GUARD_AXES),
    held: isSame(base, heldOf(base)) ? grid : sweepHeld(take, base, GUARD_AXES),
    hysteresis: sweepHysteresis(take, base, GUARD_AXES),
  }),
  tradeOff(before, found) {
    const all = before === null ? found : [before, ...found];
    return {
      plain: sumGuardSweeps(all.map(({ plain }) => plain)),
      held: sumGuardSweeps(all.map(({ held }) => held)),
      hysteresis: all[0]!.hysteresis.map((_, i) => sumGuardSweeps(all.map((one) => one.hysteresis[i]!))),
    };
  },
});

function isSame(a: unknown, b: unknown): boolean {
  return JSON.stringify(a) === JSON.stringify(b);
}

/** What each take's presses say beside its motion. */
const motionWork = new ChoiceWork(MOTION, rates, (value) => ({ kind: 'motion', ...value }), {
  of: (take, base, grid) => ({
    pressed: grid.pressed!,
    evidence: evidenceOf(take, base),
    soon: soonPresses(take, base, base.patienceMs),
  }),
  agree: (choice, takes) =>
    findAgreement(
      choice,
      takes.map(({ id, grid, found }) => ({ key: id, moved: grid, ...found })),
    ),
});

const deflectionWork = new ChoiceWork(DEFLECTION, rates, (value) => ({ kind: 'deflection', ...value }));

const wholeMotion: TakesOf<GestureBase, GestureTake> = {
  read: ({ base, smoothing }, input, reader, nextId) =>
    reader.readWhole(input, { smoothing, impact: base.impact, twist: base.twist }, nextId),
};

const gestureWork = (kind: GestureMapKind) =>
  new ChoiceWork(GESTURE_PROBLEMS[kind], wholeMotion, (value) => ({ kind, ...value }));

/** The work of each kind of job in which two settings are chosen, whatever its parts are. */
export const CHOICE_WORK: Readonly<Record<ProblemKind, AnyChoiceWork>> = {
  guard: guardWork,
  motion: motionWork,
  deflection: deflectionWork,
  ...recordOf(GESTURE_MAPS, gestureWork),
};

/** Runs the job of whichever two settings are to be chosen. */
export function runChoiceJob(
  job: GuardJob | MotionJob | DeflectionJob | GestureJob,
  around: Surroundings,
): Promise<void> {
  return CHOICE_WORK[job.kind].run(job, around);
}
