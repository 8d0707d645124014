import { bordersOf, type LostPress, lostPresses, wrongVerdicts } from '../../server/engine/choose/borders.ts';
import { evidenceOf, type TakeEvidence } from '../../server/engine/choose/evidence.ts';
import { checkHeldOut } from '../../server/engine/choose/heldOut.ts';
import { type StressResult, stressTake, sumStress } from '../../server/engine/choose/stress.ts';
import { suggest } from '../../server/engine/choose/suggest.ts';
import { sumGrids, sumSweeps } from '../../server/engine/choose/sumGrids.ts';
import { GUARD_AXES, type GuardGrid, sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { sweepHysteresis, sweepPlain } from '../../server/engine/choose/tradeOff.ts';
import type { GuardSweep } from '../../server/engine/sweep/guardSweep.ts';
import { fitOf, leftOutInTurn, type Swept } from './folds.ts';
import type { GuardJob, GuardValue, GuardVerdict, JobTake, JobValue, TakeInput, WrongPress } from './jobs.ts';
import { Kept, keyOf, type Surroundings } from './runner.ts';
import { checkEach, sumChecks, type TakeChecks } from './secondPass.ts';
import { runSweepJob } from './sweepJob.ts';

/** One take's part of the map. */
interface TakePart {
  readonly evidence: TakeEvidence;
  readonly grid: GuardGrid;
  readonly plain: GuardSweep;
  readonly hysteresis: readonly GuardSweep[];
}

type Summed = Pick<GuardValue, 'grid' | 'plain' | 'hysteresis' | 'evidence'>;

const NOTHING: Summed = { grid: null, plain: null, hysteresis: [], evidence: [] };

type Checks = TakeChecks<LostPress, WrongPress, StressResult>;

const parts = new Kept<TakePart>(300);
const checks = new Kept<Checks>(300);

/** Sweeps the guard over all takes; then chooses, and checks the choice take by take. */
export function runGuardJob(job: GuardJob, around: Surroundings): Promise<void> {
  return runSweepJob<TakePart, Summed, GuardVerdict>(job.takes, around, {
    nothing: NOTHING,
    part: (input, next) =>
      parts.of(keyOf(input, job.smoothing, job.base), () => sweepOne(input, job, around, next)),
    withPart,
    value: (progress, summed, verdict): GuardValue => ({ kind: 'guard', ...progress, ...summed, verdict }),
    decide,
    check: (swept, verdict, summed, tell) => check(job, around, swept, summed, verdict, tell),
  });
}

async function sweepOne(
  input: TakeInput,
  job: GuardJob,
  around: Surroundings,
  next: JobTake | undefined,
): Promise<TakePart> {
  const read = await around.reader.read(input, job.smoothing, next?.id);
  const grid = sweepTake(read, job.base);
  return {
    evidence: evidenceOf(read, job.base),
    grid,
    plain: job.base.releaseRatio === 1 ? grid : sweepPlain(read, job.base, GUARD_AXES),
    hysteresis: sweepHysteresis(read, job.base, GUARD_AXES),
  };
}

/** Takes that are not fit are told of, and left out of the sums. */
function withPart(summed: Summed, { evidence, grid, plain, hysteresis }: TakePart): Summed {
  const told = [...summed.evidence, evidence];
  if (evidence.unfit !== null) return { ...summed, evidence: told };
  if (summed.grid === null || summed.plain === null) return { evidence: told, grid, plain, hysteresis };
  return {
    evidence: told,
    grid: sumGrids([summed.grid, grid]),
    plain: sumSweeps([summed.plain, plain]),
    hysteresis: hysteresis.map((sweep, i) => sumSweeps([summed.hysteresis[i]!, sweep])),
  };
}

function decide(summed: Summed, done: readonly Swept<TakePart>[]): GuardVerdict {
  const choice = suggest(summed.grid, summed.evidence);
  const isMade = choice.kind === 'suggestion';
  return {
    choice,
    ...(isMade ? leftOutInTurn(fitOf(done), checkHeldOut) : { byTake: null, byPerformer: null }),
    borders: isMade && summed.grid ? bordersOf(choice, summed.grid) : [],
    lost: [],
    wrong: [],
    stress: [],
    stressed: 0,
  };
}

/** The second pass: which presses lie at the borders, and the verdicts under stress. */
async function check(
  job: GuardJob,
  around: Surroundings,
  swept: readonly Swept<TakePart>[],
  summed: Summed,
  verdict: GuardVerdict,
  tell: (verdict: GuardVerdict) => JobValue,
): Promise<GuardVerdict> {
  const { choice, borders } = verdict;
  if (choice.kind === 'declined' || summed.grid === null) return verdict;
  const { smoothing } = job;
  const guard = { ...job.base, speedDps: choice.speedDps, holdMs: choice.holdMs };
  const withChecks = (found: readonly Checks[]) => ({ ...verdict, ...sumChecks(found, sumStress) });
  const found = await checkEach(
    fitOf(swept).map(({ take }) => take),
    around,
    {
      smoothing,
      restsOn: [guard, borders],
      kept: checks,
      check: (read) => ({
        lost: lostPresses(read, guard, borders),
        wrong: wrongVerdicts(read, guard).map((one) => ({ takeId: read.id, title: read.title, ...one })),
        stress: stressTake(read, smoothing, guard),
      }),
    },
    (soFar) => tell(withChecks(soFar)),
  );
  return withChecks(found);
}
