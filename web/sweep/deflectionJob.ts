import { chooseDeflection } from '../../server/engine/choose/chooseDeflection.ts';
import { deflectionBorders, lostDeflections } from '../../server/engine/choose/deflectionBorders.ts';
import { DEFLECTION_AXES, sumDeflection } from '../../server/engine/choose/deflectionChoice.ts';
import { checkDeflectionHeldOut } from '../../server/engine/choose/deflectionHeldOut.ts';
import {
  type DeflectionStress,
  stressDeflection,
  sumDeflectionStress,
} from '../../server/engine/choose/deflectionStress.ts';
import { wrongDeflections } from '../../server/engine/choose/deflectionVerdicts.ts';
import { type SwingEvidence, swingEvidenceOf } from '../../server/engine/choose/swingEvidence.ts';
import { type DeflectionSweep, sweepDeflection } from '../../server/engine/sweep/deflectionSweep.ts';
import { leftOutInTurn, type Swept } from './folds.ts';
import type { DeflectionJob, DeflectionValue, DeflectionVerdict, Progress, TakeInput } from './jobs.ts';
import { Kept, keyOf, overTakes, type Surroundings } from './runner.ts';

/** One take's part of the map. */
interface TakePart {
  readonly evidence: SwingEvidence;
  readonly grid: DeflectionSweep;
}

type Summed = Pick<DeflectionValue, 'grid' | 'evidence'>;

const parts = new Kept<TakePart>(300);

/** Sweeps the deflection over all takes; then chooses, and checks the choice take by take. */
export async function runDeflectionJob(job: DeflectionJob, around: Surroundings): Promise<void> {
  const { takes, smoothing, base } = job;
  let summed: Summed = { grid: null, evidence: [] };
  const done: Swept<TakePart>[] = [];
  const value = (progress: Progress, verdict: DeflectionVerdict | null): DeflectionValue => ({
    kind: 'deflection',
    ...progress,
    ...summed,
    verdict,
  });
  const failed = await overTakes(
    takes,
    around,
    async (take) => {
      const key = keyOf(take, smoothing, base.restMs, base.confirmMs);
      const part = await parts.of(key, () => sweepOne(take, job, around));
      done.push({ take, part });
      summed = withPart(summed, part);
    },
    (progress) => value({ stage: 'sweeping', total: takes.length, ...progress }, null),
  );
  const total = done.length;
  const verdict = decide(summed, done);
  around.report(value({ stage: 'checking', done: 0, total, failed }, verdict));
  const checked = await check(job, around, done, verdict, (stressed, now) =>
    value({ stage: 'checking', done: stressed, total, failed }, now),
  );
  around.report(value({ stage: 'done', done: total, total, failed }, checked));
}

async function sweepOne(take: TakeInput, job: DeflectionJob, around: Surroundings): Promise<TakePart> {
  const read = await around.reader.read(take, job.smoothing);
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
  const fit = done.filter(({ part }) => part.evidence.unfit === null);
  return {
    choice,
    ...leftOutInTurn(fit, checkDeflectionHeldOut),
    borders: deflectionBorders(choice, grid),
    ...nothing,
  };
}

/** The second pass: what lies at the borders, what is wrong even so, and the swings' fates under stress. */
async function check(
  job: DeflectionJob,
  around: Surroundings,
  done: readonly Swept<TakePart>[],
  verdict: DeflectionVerdict,
  tell: (stressed: number, verdict: DeflectionVerdict) => DeflectionValue,
): Promise<DeflectionVerdict> {
  const { choice, borders } = verdict;
  if (choice.kind === 'declined') return verdict;
  const fit = done.filter(({ part }) => part.evidence.unfit === null).map(({ take }) => take);
  const deflection = { ...job.base, speedDps: choice.speedDps, rearmRatio: choice.rearmRatio };
  const results: (readonly DeflectionStress[])[] = [];
  let now = verdict;
  await overTakes(
    fit,
    around,
    async (take) => {
      const read = await around.reader.read(take, job.smoothing);
      const { swings } = read.truth;
      results.push(stressDeflection({ id: take.id, motion: read.motion, swings }, job.smoothing, deflection));
      const wrong = wrongDeflections(read.signals, swings, deflection);
      now = {
        ...now,
        lost: [...now.lost, ...lostDeflections(read, deflection, borders)],
        wrong: [...now.wrong, ...wrong.map((one) => ({ takeId: take.id, title: take.title, ...one }))],
        stress: sumDeflectionStress(results),
        stressed: results.length,
      };
    },
    () => tell(results.length, now),
  );
  return now;
}
