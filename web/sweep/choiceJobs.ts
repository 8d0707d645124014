import { DEFLECTION } from '../../server/engine/choose/deflection.ts';
import { evidenceOf } from '../../server/engine/choose/evidence.ts';
import { GESTURE_PROBLEMS } from '../../server/engine/choose/gestures/gestures.ts';
import type { GestureBase, GestureMapKind } from '../../server/engine/choose/gestures/maps.ts';
import { GUARD } from '../../server/engine/choose/guard.ts';
import { findAgreement, soonPresses } from '../../server/engine/choose/motion/agreement.ts';
import { MOTION } from '../../server/engine/choose/motion/motion.ts';
import { GUARD_AXES } from '../../server/engine/choose/takeSweep.ts';
import { sweepHysteresis, sweepPlain } from '../../server/engine/choose/tradeOff.ts';
import { sumGuardSweeps } from '../../server/engine/sweep/guardSweep.ts';
import type { ReadTake } from '../takes/reader.ts';
import { choiceJob } from './choiceJob.ts';
import type {
  ChoiceJob,
  DeflectionJob,
  GestureJob,
  GuardJob,
  MotionJob,
  TakeInput,
  TradeOff,
} from './jobs.ts';
import type { Surroundings } from './runner.ts';

/** Reads swing speeds alone: guard and deflection see nothing else. */
const rates = {
  read: (
    { smoothing }: Pick<GuardJob, 'smoothing'>,
    input: TakeInput,
    around: Surroundings,
    nextId?: string,
  ): Promise<ReadTake> => around.reader.read(input, smoothing, nextId),
};

const runGuardJob = choiceJob(GUARD, rates, {
  of: (take, base, grid): TradeOff => ({
    plain: base.releaseRatio === 1 ? grid : sweepPlain(take, base, GUARD_AXES),
    hysteresis: sweepHysteresis(take, base, GUARD_AXES),
  }),
  tradeOff: (sum, { plain, hysteresis }) =>
    sum === null
      ? { plain, hysteresis }
      : {
          plain: sumGuardSweeps([sum.plain, plain]),
          hysteresis: hysteresis.map((sweep, i) => sumGuardSweeps([sum.hysteresis[i]!, sweep])),
        },
});

/** What each take's presses say beside its motion. */
const runMotionJob = choiceJob(MOTION, rates, {
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

const runDeflectionJob = choiceJob(DEFLECTION, rates);

const gestureJob = (kind: GestureMapKind) =>
  choiceJob(GESTURE_PROBLEMS[kind], {
    read: ({ base, smoothing }: ChoiceJob<GestureBase>, input, around, nextId) =>
      around.reader.readWhole(input, { smoothing, impact: base.impact, twist: base.twist }, nextId),
    restsOn: ({ allPresses }) => allPresses,
  });

const GESTURE_JOBS = { stab: gestureJob('stab'), impact: gestureJob('impact'), twist: gestureJob('twist') };

/** Runs the job of whichever two settings are to be chosen. */
export function runChoiceJob(
  job: GuardJob | MotionJob | DeflectionJob | GestureJob,
  around: Surroundings,
): Promise<void> {
  switch (job.kind) {
    case 'guard':
      return runGuardJob(job, around);
    case 'motion':
      return runMotionJob(job, around);
    case 'deflection':
      return runDeflectionJob(job, around);
    default:
      return GESTURE_JOBS[job.kind](job, around);
  }
}
