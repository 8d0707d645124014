import { bordersOf } from '../../server/engine/choose/borders.ts';
import { checkTake, sumChecks, type TakeChecks } from '../../server/engine/choose/checkTake.ts';
import { leaveOut } from '../../server/engine/choose/leaveOut.ts';
import type { Agreement } from '../../server/engine/choose/motion/agreement.ts';
import type { Evidence, Problem } from '../../server/engine/choose/problem.ts';
import { type Suggestion, suggest } from '../../server/engine/choose/suggest.ts';
import type { SpeedSignals } from '../../server/engine/motion/signals.ts';
import type { SweepGrid } from '../../server/engine/sweep/grid.ts';
import { leftOutInTurn, type Swept } from './folds.ts';
import type { ChoiceJob, ChoiceValue, JobTake, JobValue, TakeInput, TradeOff, Verdict } from './jobs.ts';
import { Kept, keyOf, type Surroundings } from './runner.ts';
import { checkEachRead } from './secondPass.ts';
import { runSweepJob } from './sweepJob.ts';

/** One take's part of the map, and what else is found on it. */
interface TakePart<Grid, Own, Found> {
  readonly evidence: Own;
  readonly grid: Grid;
  readonly found: Found | null;
}

/** What a problem finds on takes beside its map. */
export interface Beside<Part extends string, Grid, Base, Take, Found> {
  of(take: Take, base: Base, grid: Grid): Found;
  /** What of it is told with the map, summed. */
  tradeOff?(sum: TradeOff | null, found: Found): TradeOff;
  /** @param takes  those that are fit; `grid` is null where it does not count. */
  agree?(
    choice: Suggestion<Part>,
    takes: readonly { readonly id: string; readonly grid: Grid | null; readonly found: Found }[],
  ): Agreement | null;
}

/** The sums over the takes that count, and over those that do only where none of these is. */
interface Summed<Grid, Own> {
  readonly grids: readonly [Grid | null, Grid | null];
  readonly evidence: readonly Own[];
  readonly tradeOff: TradeOff | null;
}

interface ReadTake {
  readonly id: string;
  readonly title: string;
  readonly signals: SpeedSignals;
}

/**
 * Makes the job of a problem: it sweeps two settings over all takes; then chooses, and checks the choice take by take.
 * @param problem.read  reads a take; `restsOn` is what its signals rest on beside smoothing, settings and the take itself.
 */
export function choiceJob<
  Part extends string,
  Grid extends SweepGrid<Part>,
  Base,
  Take extends ReadTake,
  Own extends Evidence,
  Why,
  Found = never,
>(
  problem: Problem<Part, Grid, Base, Take, Own, Why>,
  takes: {
    read(job: ChoiceJob<Base>, input: TakeInput, around: Surroundings, nextId?: string): Promise<Take>;
    restsOn?(input: TakeInput): unknown;
  },
  beside?: Beside<Part, Grid, Base, Take, Found>,
): (job: ChoiceJob<Base>, around: Surroundings) => Promise<void> {
  type TakesPart = TakePart<Grid, Own, Found>;
  const parts = new Kept<TakesPart>(300);
  const checks = new Kept<TakeChecks<Part, Why>>(300);
  const [anyX, anyY] = [problem.x.values[0]!, problem.y.values[0]!];

  const keyFor = ({ smoothing, base }: ChoiceJob<Base>, input: TakeInput, ...rest: readonly unknown[]) =>
    // The map does not depend on where its own two settings stand.
    keyOf(input, smoothing, problem.at(base, anyX, anyY), takes.restsOn?.(input), ...rest);

  const partOf = (take: Take, base: Base): TakesPart => {
    const evidence = problem.evidence(take, base);
    const grid = problem.sweep(take, base, evidence);
    return { evidence, grid, found: beside?.of(take, base, grid) ?? null };
  };

  /** Takes that do not count are told of, and left out of the sums. */
  const withPart = (summed: Summed<Grid, Own>, { evidence, grid, found }: TakesPart): Summed<Grid, Own> => {
    const told = { ...summed, evidence: [...summed.evidence, evidence] };
    const rank = problem.rank(evidence);
    if (rank === null) return told;
    const own = summed.grids[rank];
    const sum = problem.sum(own === null ? [grid] : [own, grid]);
    const tradeOff = found === null ? null : (beside?.tradeOff?.(summed.tradeOff, found) ?? null);
    return { ...told, grids: rank === 0 ? [sum, summed.grids[1]] : [summed.grids[0], sum], tradeOff };
  };

  const countedOf = (swept: readonly Swept<TakesPart>[]) => {
    const ranked = (rank: 0 | 1) => swept.filter(({ part }) => problem.rank(part.evidence) === rank);
    const first = ranked(0);
    return first.length > 0 ? first : ranked(1);
  };

  const tellingOf = (swept: readonly Swept<TakesPart>[]) =>
    countedOf(swept).filter(({ part }) => problem.tells?.(part.grid) ?? true);

  const decide = (
    { grids, evidence }: Summed<Grid, Own>,
    swept: readonly Swept<TakesPart>[],
  ): Verdict<Part, Why> => {
    const grid = grids[0] ?? grids[1];
    const choice = suggest(problem, grid, evidence);
    const nothing = { lost: [], wrong: [], stress: [], stressed: 0 };
    if (choice.kind === 'declined' || grid === null)
      return { choice, byTake: null, byPerformer: null, borders: [], agreement: null, ...nothing };
    return {
      choice,
      ...leftOutInTurn(tellingOf(swept), (groups) => leaveOut(problem, groups)),
      borders: bordersOf(problem, choice, grid),
      agreement: agreementOf(choice, swept),
      ...nothing,
    };
  };

  const agreementOf = (choice: Suggestion<Part>, swept: readonly Swept<TakesPart>[]): Agreement | null => {
    const counted = new Set(countedOf(swept));
    const fit = swept.filter(({ part }) => part.evidence.unfit === null);
    const found = fit.flatMap((one) => {
      const { grid, found: its } = one.part;
      return its === null ? [] : [{ id: one.take.id, grid: counted.has(one) ? grid : null, found: its }];
    });
    return beside?.agree?.(choice, found) ?? null;
  };

  /** The second pass: what lies at the borders, what is wrong even so, and what becomes of all under stress. */
  const check = async (
    job: ChoiceJob<Base>,
    around: Surroundings,
    swept: readonly Swept<TakesPart>[],
    verdict: Verdict<Part, Why>,
    tell: (verdict: Verdict<Part, Why>) => JobValue,
  ): Promise<Verdict<Part, Why>> => {
    const { choice, borders } = verdict;
    if (choice.kind === 'declined') return verdict;
    const { smoothing, base } = job;
    const { x, y } = choice;
    const withChecks = (found: readonly TakeChecks<Part, Why>[]) => ({
      ...verdict,
      ...sumChecks(problem, found),
    });
    const found = await checkEachRead(
      tellingOf(swept).map(({ take }) => take),
      around,
      {
        key: (input) => keyFor(job, input, x, y, borders),
        kept: checks,
        read: (input, nextId) => takes.read(job, input, around, nextId),
        check: (take) => checkTake(problem, take, base, smoothing, { x, y }, borders),
      },
      (soFar) => tell(withChecks(soFar)),
    );
    return withChecks(found);
  };

  return (job, around) =>
    runSweepJob<TakesPart, Summed<Grid, Own>, Verdict<Part, Why>>(job.takes, around, {
      nothing: { grids: [null, null], evidence: [], tradeOff: null },
      part: (input: TakeInput, next: JobTake | undefined) =>
        parts.of(keyFor(job, input), async () =>
          partOf(await takes.read(job, input, around, next?.id), job.base),
        ),
      withPart,
      value: (progress, { grids, evidence, tradeOff }, verdict) => {
        const grid = grids[0] ?? grids[1];
        const value: ChoiceValue<Part, Grid, Own, Why> = { ...progress, grid, evidence, tradeOff, verdict };
        return { kind: problem.kind, ...value } as unknown as JobValue;
      },
      decide,
      check: (swept, verdict, _summed, tell) => check(job, around, swept, verdict, tell),
    });
}
