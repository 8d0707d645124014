import { chooseDeflection } from '../../server/engine/choose/chooseDeflection.ts';
import {
  deflectionBorders,
  type LostDeflection,
  lostDeflections,
} from '../../server/engine/choose/deflectionBorders.ts';
import { DEFLECTION_AXES, sumDeflection } from '../../server/engine/choose/deflectionChoice.ts';
import { checkDeflectionHeldOut } from '../../server/engine/choose/deflectionHeldOut.ts';
import {
  type DeflectionStress,
  stressDeflection,
  sumDeflectionStress,
} from '../../server/engine/choose/deflectionStress.ts';
import { explainDeflections } from '../../server/engine/choose/deflectionVerdicts.ts';
import { type SwingEvidence, swingEvidenceOf } from '../../server/engine/choose/swingEvidence.ts';
import { type DeflectionSweep, sweepDeflection } from '../../server/engine/sweep/deflectionSweep.ts';
import { fitOf, leftOutInTurn, type Swept } from './folds.ts';
import type {
  DeflectionJob,
  DeflectionValue,
  DeflectionVerdict,
  JobTake,
  JobValue,
  TakeInput,
} from './jobs.ts';
import { Kept, keyOf, type Surroundings } from './runner.ts';
import { checkEach, sumChecks, type TakeChecks } from './secondPass.ts';
import { runSweepJob } from './sweepJob.ts';

/** One take's part of the map. */
interface TakePart {
  readonly evidence: SwingEvidence;
  readonly grid: DeflectionSweep;
}

type Summed = Pick<DeflectionValue, 'grid' | 'evidence'>;

const NOTHING: Summed = { grid: null, evidence: [] };

type Checks = TakeChecks<LostDeflection, DeflectionVerdict['wrong'][number], DeflectionStress>;

const parts = new Kept<TakePart>(300);
const checks = new Kept<Checks>(300);

/** Sweeps the deflection over all takes; then chooses, and checks the choice take by take. */
export function runDeflectionJob(job: DeflectionJob, around: Surroundings): Promise<void> {
  const { smoothing, base } = job;
  return runSweepJob<TakePart, Summed, DeflectionVerdict>(job.takes, around, {
    nothing: NOTHING,
    part: (input, next) =>
      parts.of(keyOf(input, smoothing, base.restMs, base.confirmMs), () =>
        sweepOne(input, job, around, next),
      ),
    withPart,
    value: (progress, summed, verdict): DeflectionValue => ({
      kind: 'deflection',
      ...progress,
      ...summed,
      verdict,
    }),
    decide,
    check: (swept, verdict, _summed, tell) => check(job, around, swept, verdict, tell),
  });
}

async function sweepOne(
  input: TakeInput,
  job: DeflectionJob,
  around: Surroundings,
  next: JobTake | undefined,
): Promise<TakePart> {
  const read = await around.reader.read(input, job.smoothing, next?.id);
  const { signals, truth } = read;
  const grid = sweepDeflection({ signals, swings: truth.swings, base: job.base, ...DEFLECTION_AXES });
  return { evidence: swingEvidenceOf(read), grid };
}

/** Takes that are not fit are told of, and left out of the sums. */
function withPart(summed: Summed, { evidence, grid }: TakePart): Summed {
  const told = [...summed.evidence, evidence];
  if (evidence.unfit !== null) return { ...summed, evidence: told };
  return { evidence: told, grid: summed.grid === null ? grid : sumDeflection([summed.grid, grid]) };
}

function decide({ grid, evidence }: Summed, done: readonly Swept<TakePart>[]): DeflectionVerdict {
  const choice = chooseDeflection(grid, evidence);
  const nothing = { lost: [], wrong: [], stress: [], stressed: 0 };
  if (choice.kind === 'declined' || grid === null)
    return { choice, byTake: null, byPerformer: null, borders: [], ...nothing };
  return {
    choice,
    ...leftOutInTurn(fitOf(done), checkDeflectionHeldOut),
    borders: deflectionBorders(choice, grid),
    ...nothing,
  };
}

/** The second pass: what lies at the borders, what is wrong even so, and the swings' fates under stress. */
async function check(
  job: DeflectionJob,
  around: Surroundings,
  swept: readonly Swept<TakePart>[],
  verdict: DeflectionVerdict,
  tell: (verdict: DeflectionVerdict) => JobValue,
): Promise<DeflectionVerdict> {
  const { choice, borders } = verdict;
  if (choice.kind === 'declined') return verdict;
  const { smoothing } = job;
  const deflection = { ...job.base, speedDps: choice.speedDps, rearmRatio: choice.rearmRatio };
  const withChecks = (found: readonly Checks[]) => ({ ...verdict, ...sumChecks(found, sumDeflectionStress) });
  const found = await checkEach(
    fitOf(swept).map(({ take }) => take),
    around,
    {
      smoothing,
      restsOn: [deflection, borders],
      kept: checks,
      check: (read) => {
        const { id, title, motion, signals } = read;
        const { swings } = read.truth;
        return {
          lost: lostDeflections(read, deflection, borders),
          wrong: explainDeflections(signals, swings, deflection).map((one) => ({
            takeId: id,
            title,
            ...one,
          })),
          stress: stressDeflection({ id, motion, swings }, smoothing, deflection),
        };
      },
    },
    (soFar) => tell(withChecks(soFar)),
  );
  return withChecks(found);
}
