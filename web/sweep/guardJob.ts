import { bordersOf, lostPresses, wrongPresses } from '../../server/engine/choose/borders.ts';
import { evidenceOf, type TakeEvidence } from '../../server/engine/choose/evidence.ts';
import { checkHeldOut } from '../../server/engine/choose/heldOut.ts';
import { type StressResult, stressTake, sumStress } from '../../server/engine/choose/stress.ts';
import { suggest } from '../../server/engine/choose/suggest.ts';
import { sumGrids, sumSweeps } from '../../server/engine/choose/sumGrids.ts';
import { GUARD_AXES, type GuardGrid, sweepTake } from '../../server/engine/choose/takeSweep.ts';
import { sweepHysteresis, sweepPlain } from '../../server/engine/choose/tradeOff.ts';
import type { GuardSweep } from '../../server/engine/sweep/guardSweep.ts';
import { leftOutInTurn, type Swept } from './folds.ts';
import type { GuardJob, GuardValue, GuardVerdict, Progress, TakeInput } from './jobs.ts';
import { Kept, keyOf, overTakes, type Surroundings } from './runner.ts';

/** One take's part of the map. */
interface TakePart {
  readonly evidence: TakeEvidence;
  readonly grid: GuardGrid;
  readonly plain: GuardSweep;
  readonly hysteresis: readonly GuardSweep[];
}

type Summed = Pick<GuardValue, 'grid' | 'plain' | 'hysteresis' | 'evidence'>;

const NOTHING: Summed = { grid: null, plain: null, hysteresis: [], evidence: [] };

const parts = new Kept<TakePart>(300);

/** Sweeps the guard over all takes; then chooses, and checks the choice take by take. */
export async function runGuardJob(job: GuardJob, around: Surroundings): Promise<void> {
  const { takes } = job;
  let summed = NOTHING;
  const done: Swept<TakePart>[] = [];
  const value = (progress: Progress, verdict: GuardVerdict | null): GuardValue => ({
    kind: 'guard',
    ...progress,
    ...summed,
    verdict,
  });
  const failed = await overTakes(
    takes,
    around,
    async (take) => {
      const part = await parts.of(keyOf(take, job.smoothing, job.base), () => sweepOne(take, job, around));
      done.push({ take, part });
      summed = withPart(summed, part);
    },
    (progress) => value({ stage: 'sweeping', total: takes.length, ...progress }, null),
  );
  const total = done.length;
  const verdict = decide(summed, done);
  around.report(value({ stage: 'checking', done: 0, total, failed }, verdict));
  const checked = await check(job, around, done, summed, verdict, (stressed, now) =>
    value({ stage: 'checking', done: stressed, total, failed }, now),
  );
  around.report(value({ stage: 'done', done: total, total, failed }, checked));
}

async function sweepOne(take: TakeInput, job: GuardJob, around: Surroundings): Promise<TakePart> {
  const read = await around.reader.read(take, job.smoothing);
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
  const fit = done.filter(({ part }) => part.evidence.unfit === null);
  const choice = suggest(summed.grid, summed.evidence);
  const isMade = choice.kind === 'suggestion';
  return {
    choice,
    ...(isMade ? leftOutInTurn(fit, checkHeldOut) : { byTake: null, byPerformer: null }),
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
  done: readonly Swept<TakePart>[],
  summed: Summed,
  verdict: GuardVerdict,
  tell: (stressed: number, verdict: GuardVerdict) => GuardValue,
): Promise<GuardVerdict> {
  const { choice, borders } = verdict;
  if (choice.kind === 'declined' || summed.grid === null) return verdict;
  const fit = done.filter(({ part }) => part.evidence.unfit === null).map(({ take }) => take);
  const guard = { ...job.base, speedDps: choice.speedDps, holdMs: choice.holdMs };
  const results: (readonly StressResult[])[] = [];
  let now = verdict;
  await overTakes(
    fit,
    around,
    async (take) => {
      const read = await around.reader.read(take, job.smoothing);
      results.push(stressTake(read, job.smoothing, guard));
      const wrong = [...wrongPresses(read, guard)].map(([downUs, intent]) => {
        return { takeId: take.id, title: take.title, downUs, intent };
      });
      now = {
        ...now,
        lost: [...now.lost, ...lostPresses(read, guard, borders)],
        wrong: [...now.wrong, ...wrong],
        stress: sumStress(results),
        stressed: results.length,
      };
    },
    () => tell(results.length, now),
  );
  return now;
}
