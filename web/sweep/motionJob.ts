import { bordersOf, type LostPress } from '../../server/engine/choose/borders.ts';
import { evidenceOf, type TakeEvidence } from '../../server/engine/choose/evidence.ts';
import { type Agreement, findAgreement, soonPresses } from '../../server/engine/choose/motion/agreement.ts';
import { lostUnits, stressUnits, wrongUnits } from '../../server/engine/choose/motion/motionChecks.ts';
import {
  countedParts,
  type MotionEvidence,
  type MotionPart,
  motionPart,
} from '../../server/engine/choose/motion/motionPart.ts';
import { checkHeldOutByMotion, suggestByMotion } from '../../server/engine/choose/motion/suggestByMotion.ts';
import { type StressResult, sumStress } from '../../server/engine/choose/stress.ts';
import { type Suggestion, suggest } from '../../server/engine/choose/suggest.ts';
import { sumGrids } from '../../server/engine/choose/sumGrids.ts';
import { type GuardGrid, sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { leftOutInTurn, type Swept } from './folds.ts';
import type {
  JobTake,
  JobValue,
  MotionJob,
  MotionValue,
  MotionVerdict,
  TakeInput,
  WrongPress,
} from './jobs.ts';
import { Kept, keyOf, type Surroundings } from './runner.ts';
import { checkEach, sumChecks, type TakeChecks } from './secondPass.ts';
import { runSweepJob } from './sweepJob.ts';

/** One take's part of the map, and what its presses say beside it. */
interface TakePart extends MotionPart {
  readonly pressed: GuardGrid;
  readonly pressEvidence: TakeEvidence;
  readonly soon: Agreement['soon'];
}

type Checks = TakeChecks<LostPress, WrongPress, StressResult>;

const parts = new Kept<TakePart>(300);
const checks = new Kept<Checks>(300);

/** Sweeps the guard over all takes by their motion alone; then chooses, and checks the choice take by take. */
export function runMotionJob(job: MotionJob, around: Surroundings): Promise<void> {
  return runSweepJob<TakePart, Summed, MotionVerdict>(job.takes, around, {
    nothing: NOTHING,
    part: (input, next) =>
      parts.of(keyOf(input, job.smoothing, job.base, job.patienceMs), () =>
        sweepOne(input, job, around, next),
      ),
    withPart,
    value: (progress, summed, verdict): MotionValue => ({
      kind: 'motion',
      ...progress,
      grid: summed.confirmed ?? summed.proposed,
      evidence: summed.evidence,
      verdict,
    }),
    decide,
    check: (swept, verdict, _summed, tell) => check(job, around, swept, verdict, tell),
  });
}

async function sweepOne(
  input: TakeInput,
  job: MotionJob,
  around: Surroundings,
  next: JobTake | undefined,
): Promise<TakePart> {
  const { base, patienceMs } = job;
  const read = await around.reader.read(input, job.smoothing, next?.id);
  const pressed = sweepTake(read, base);
  const pressEvidence = evidenceOf(read, base);
  return {
    ...motionPart(read, pressed, base, patienceMs, pressEvidence.unfit),
    pressed,
    pressEvidence,
    soon: soonPresses(read, base, patienceMs),
  };
}

/** Sums over the takes that are fit: of those that somebody confirmed, and of the others. The first count alone. */
interface Summed {
  readonly confirmed: GuardGrid | null;
  readonly proposed: GuardGrid | null;
  readonly evidence: readonly MotionEvidence[];
}

const NOTHING: Summed = { confirmed: null, proposed: null, evidence: [] };

function withPart(summed: Summed, { evidence, grid }: TakePart): Summed {
  const told = { ...summed, evidence: [...summed.evidence, evidence] };
  if (evidence.unfit !== null) return told;
  const which = evidence.isConfirmed ? 'confirmed' : 'proposed';
  const sum = summed[which];
  return { ...told, [which]: sum === null ? grid : sumGrids([sum, grid]) };
}

function decide(summed: Summed, swept: readonly Swept<TakePart>[]): MotionVerdict {
  const grid = summed.confirmed ?? summed.proposed;
  const choice = suggestByMotion(grid, summed.evidence);
  const nothing = { lost: [], wrong: [], stress: [], stressed: 0 };
  if (choice.kind === 'declined' || grid === null)
    return { choice, byTake: null, byPerformer: null, borders: [], agreement: null, ...nothing };
  return {
    choice,
    ...leftOutInTurn(countedOf(swept), checkHeldOutByMotion),
    borders: bordersOf(choice, grid),
    agreement: agreementOf(choice, swept),
    ...nothing,
  };
}

function countedOf(swept: readonly Swept<TakePart>[]): Swept<TakePart>[] {
  const counted = new Set(countedParts(swept.map(({ part }) => part)));
  return swept.filter(({ part }) => counted.has(part));
}

function agreementOf(choice: Suggestion, swept: readonly Swept<TakePart>[]): Agreement | null {
  const fit = swept.filter(({ part }) => part.evidence.unfit === null);
  const counted = new Set(countedOf(swept));
  const pressed = sumGrids(fit.map(({ part }) => part.pressed));
  const byPresses = suggest(
    pressed,
    fit.map(({ part }) => part.pressEvidence),
  );
  return findAgreement(
    choice,
    byPresses.kind === 'suggestion' ? byPresses : null,
    pressed,
    fit.map((one) => ({
      key: one.take.id,
      pressed: one.part.pressed,
      moved: counted.has(one) ? one.part.grid : null,
      soon: one.part.soon,
    })),
  );
}

/** The second pass: which spins and stops lie at the borders, and how all fare under stress. */
async function check(
  job: MotionJob,
  around: Surroundings,
  swept: readonly Swept<TakePart>[],
  verdict: MotionVerdict,
  tell: (verdict: MotionVerdict) => JobValue,
): Promise<MotionVerdict> {
  const { choice, borders } = verdict;
  if (choice.kind === 'declined') return verdict;
  const { smoothing, patienceMs } = job;
  const guard = { ...job.base, speedDps: choice.speedDps, holdMs: choice.holdMs };
  const withChecks = (found: readonly Checks[]) => ({ ...verdict, ...sumChecks(found, sumStress) });
  const found = await checkEach(
    countedOf(swept).map(({ take }) => take),
    around,
    {
      smoothing,
      restsOn: [guard, borders, patienceMs],
      kept: checks,
      check: (read) => ({
        lost: lostUnits(read, guard, borders, patienceMs),
        wrong: [...wrongUnits(read, guard, patienceMs)].map(([downUs, intent]) => {
          return { takeId: read.id, title: read.title, downUs, intent };
        }),
        stress: stressUnits(read, smoothing, guard, patienceMs),
      }),
    },
    (soFar) => tell(withChecks(soFar)),
  );
  return withChecks(found);
}
