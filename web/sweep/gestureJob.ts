import {
  type GestureBorder,
  gestureBorders,
  type LostGesture,
  lostGestures,
} from '../../server/engine/choose/gestures/borders.ts';
import { joinGrids } from '../../server/engine/choose/gestures/choice.ts';
import { chooseGesture } from '../../server/engine/choose/gestures/chooseGesture.ts';
import { type GestureEvidence, gestureEvidenceOf } from '../../server/engine/choose/gestures/evidence.ts';
import { checkGestureHeldOut } from '../../server/engine/choose/gestures/heldOut.ts';
import { withXY } from '../../server/engine/choose/gestures/maps.ts';
import { explainGestures } from '../../server/engine/choose/gestures/missCauses.ts';
import {
  type GestureStress,
  stressGestures,
  sumGestureStress,
} from '../../server/engine/choose/gestures/stress.ts';
import {
  type GestureGrid,
  type GestureTake,
  sweepGestureTake,
} from '../../server/engine/choose/gestures/take.ts';
import { fitOf, leftOutInTurn, type Swept } from './folds.ts';
import type { GestureJob, GestureValue, GestureVerdict, JobValue, TakeInput } from './jobs.ts';
import { Kept, keyOf, type Surroundings } from './runner.ts';
import { checkEachRead, sumChecks, type TakeChecks } from './secondPass.ts';
import { runSweepJob } from './sweepJob.ts';

/** One take's part of the map. */
interface TakePart {
  readonly evidence: GestureEvidence;
  readonly grid: GestureGrid;
}

type Summed = Pick<GestureValue, 'grid' | 'evidence'>;

const NOTHING: Summed = { grid: null, evidence: [] };

type Checks = TakeChecks<LostGesture, GestureVerdict['wrong'][number], GestureStress>;

const parts = new Kept<TakePart>(300);
const checks = new Kept<Checks>(300);

/** Sweeps one detector of gestures over all takes; then chooses, and checks the choice take by take. */
export function runGestureJob(job: GestureJob, around: Surroundings): Promise<void> {
  const { kind } = job;
  return runSweepJob<TakePart, Summed, GestureVerdict>(job.takes, around, {
    nothing: NOTHING,
    part: (input, next) =>
      parts.of(keyOf(input, ...restsOn(job, input)), async () =>
        partOf(await readFor(job, input, around, next?.id), job),
      ),
    withPart,
    value: (progress, summed, verdict): GestureValue => ({ kind, ...progress, ...summed, verdict }),
    decide: (summed, swept) => decide(job, summed, swept),
    check: (swept, verdict, _summed, tell) => check(job, around, swept, verdict, tell),
  });
}

function partOf(read: GestureTake, { kind, base }: GestureJob): TakePart {
  const evidence = gestureEvidenceOf(read, kind, base);
  const { others, outsideS } = evidence;
  return { evidence, grid: { ...sweepGestureTake(read, kind, base), others, outsideS } };
}

function readFor(
  { base, smoothing }: GestureJob,
  input: TakeInput,
  around: Surroundings,
  nextId: string | undefined,
): Promise<GestureTake> {
  const { impact, twist } = base;
  return around.reader.readWhole(input, { smoothing, impact, twist }, nextId);
}

/** All that a take's part rests on beside the take as every job knows it. */
function restsOn({ kind, smoothing, base }: GestureJob, { allPresses }: TakeInput): readonly unknown[] {
  return [kind, smoothing, base, allPresses];
}

/** Takes that are not fit are told of, and left out of the sums. */
function withPart(summed: Summed, { evidence, grid }: TakePart): Summed {
  const told = [...summed.evidence, evidence];
  if (evidence.unfit !== null) return { ...summed, evidence: told };
  return { evidence: told, grid: summed.grid === null ? grid : joinGrids(summed.grid, grid) };
}

/** Those of the takes that are fit and whose labels tell anything. */
function tellingOf(swept: readonly Swept<TakePart>[]): Swept<TakePart>[] {
  return fitOf(swept).filter(({ part: { grid } }) => grid.gestures > 0 || grid.outsideS > 0);
}

function decide(
  { kind }: GestureJob,
  { grid, evidence }: Summed,
  done: readonly Swept<TakePart>[],
): GestureVerdict {
  const choice = chooseGesture(kind, grid, evidence);
  const nothing = { lost: [], wrong: [], stress: [], stressed: 0 };
  if (choice.kind === 'declined' || grid === null)
    return { choice, byTake: null, byPerformer: null, borders: [], ...nothing };
  return {
    choice,
    ...leftOutInTurn(tellingOf(done), (groups) => checkGestureHeldOut(kind, groups)),
    borders: gestureBorders(choice, grid),
    ...nothing,
  };
}

/** The second pass: what lies at the borders, what is wrong even so, and the gestures' fates under stress. */
async function check(
  job: GestureJob,
  around: Surroundings,
  swept: readonly Swept<TakePart>[],
  verdict: GestureVerdict,
  tell: (verdict: GestureVerdict) => JobValue,
): Promise<GestureVerdict> {
  const { choice, borders } = verdict;
  if (choice.kind === 'declined') return verdict;
  const { kind, base } = job;
  const withChecks = (found: readonly Checks[]) => ({
    ...verdict,
    ...sumChecks(found, (stress) => sumGestureStress(kind, stress)),
  });
  const found = await checkEachRead(
    tellingOf(swept).map(({ take }) => take),
    around,
    {
      key: (input) => keyOf(input, ...restsOn(job, input), choice.x, choice.y, borders),
      kept: checks,
      read: (input, nextId) => readFor(job, input, around, nextId),
      check: (read) => checksOf(read, job, choice, borders, base),
    },
    (soFar) => tell(withChecks(soFar)),
  );
  return withChecks(found);
}

function checksOf(
  read: GestureTake,
  { kind, smoothing }: GestureJob,
  choice: { readonly x: number; readonly y: number },
  borders: readonly GestureBorder[],
  base: GestureJob['base'],
): Checks {
  const { id: takeId, title } = read;
  const chosen = withXY(base, kind, choice.x, choice.y);
  return {
    lost: lostGestures(read, kind, base, choice, borders),
    wrong: explainGestures(read, kind, chosen).map((one) => ({ takeId, title, ...one })),
    stress: stressGestures(read, kind, smoothing, chosen),
  };
}
