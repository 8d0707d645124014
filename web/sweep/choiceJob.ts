import { bordersOf } from '../../server/engine/choose/borders.ts';
import { checkTake, sumChecks, type TakeChecks } from '../../server/engine/choose/checkTake.ts';
import { leaveOut } from '../../server/engine/choose/leaveOut.ts';
import { leftOutInTurn } from '../../server/engine/choose/leftOut.ts';
import type { Agreement } from '../../server/engine/choose/motion/agreement.ts';
import type { Evidence, Problem } from '../../server/engine/choose/problem.ts';
import { type Suggestion, suggest } from '../../server/engine/choose/suggest.ts';
import type { SpeedSignals } from '../../server/engine/motion/signals.ts';
import type { SweepGrid } from '../../server/engine/sweep/grid.ts';
import { inOrder } from './folds.ts';
import type { ChoiceJob, ChoiceResult, ChoiceValue, JobTake, JobValue, TakeInput, TradeOff } from './jobs.ts';
import { Kept, keyOf, overTakes, type Surroundings } from './runner.ts';

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

/** How a problem's takes are read. */
export interface TakesOf<Base, Take> {
  read(job: ChoiceJob<Base>, input: TakeInput, around: Surroundings, nextId?: string): Promise<Take>;
  /** What the signals rest on beside smoothing, settings and the take itself. */
  restsOn?(input: TakeInput): unknown;
}

/** The sums over the takes that count, and over those that do only where none of these is. */
interface Summed<Grid, Own> {
  readonly grids: readonly [Grid | null, Grid | null];
  readonly evidence: readonly Own[];
  readonly tradeOff: TradeOff | null;
}

interface Swept<Found> {
  readonly take: JobTake;
  readonly part: Found;
}

type AnyTake = { readonly id: string; readonly title: string; readonly signals: SpeedSignals };

/** The work of one problem: it sweeps two settings over all takes; then chooses, and checks the choice take by take. */
export class ChoiceWork<
  Part extends string,
  Grid extends SweepGrid<Part>,
  Base,
  Take extends AnyTake,
  Own extends Evidence,
  Why,
  Found = never,
> {
  private readonly problem: Problem<Part, Grid, Base, Take, Own, Why>;
  private readonly takes: TakesOf<Base, Take>;
  private readonly toldAs: (value: ChoiceValue<Part, Grid, Own, Why>) => JobValue;
  private readonly beside: Beside<Part, Grid, Base, Take, Found> | null;
  private readonly parts = new Kept<TakePart<Grid, Own, Found>>(300);
  private readonly checks = new Kept<TakeChecks<Part, Why>>(300);

  constructor(
    problem: Problem<Part, Grid, Base, Take, Own, Why>,
    takes: TakesOf<Base, Take>,
    toldAs: (value: ChoiceValue<Part, Grid, Own, Why>) => JobValue,
    beside: Beside<Part, Grid, Base, Take, Found> | null = null,
  ) {
    this.problem = problem;
    this.takes = takes;
    this.toldAs = toldAs;
    this.beside = beside;
  }

  /** Tells what is found so far, take by take; what comes out does not depend on the take it began with. */
  async run(job: ChoiceJob<Base>, around: Surroundings): Promise<void> {
    const done: Swept<TakePart<Grid, Own, Found>>[] = [];
    let soFar: Summed<Grid, Own> = { grids: [null, null], evidence: [], tradeOff: null };
    const nothing = soFar;
    const noted = await overTakes(
      job.takes,
      around,
      async (input, take, next) => {
        const part = await this.parts.of(this.keyFor(job, input), async () =>
          this.partOf(await this.takes.read(job, input, around, next?.id), job.base),
        );
        done.push({ take, part });
        soFar = this.withPart(soFar, part);
      },
      (progress) =>
        this.value({ stage: 'sweeping', total: job.takes.length, ...progress, result: null }, soFar),
    );
    const swept = inOrder(done, job.takes);
    // Anew: sums of shares depend on the order in their last digits, and what is chosen must not.
    const summed = swept.reduce((sum, { part }) => this.withPart(sum, part), nothing);
    const result = this.decide(summed, swept);
    const value = (stage: 'checking' | 'done', now: ChoiceResult<Part, Why>) =>
      this.value(
        {
          stage,
          done: stage === 'done' ? swept.length : now.stressed,
          total: swept.length,
          ...noted,
          result: now,
        },
        summed,
      );
    around.report(value('checking', result));
    const checked = await this.check(job, around, swept, result, (now) => value('checking', now));
    around.report(value('done', checked));
  }

  private value(
    progress: Pick<
      ChoiceValue<Part, Grid, Own, Why>,
      'stage' | 'done' | 'total' | 'failed' | 'doubtful' | 'result'
    >,
    { grids, evidence, tradeOff }: Summed<Grid, Own>,
  ): JobValue {
    return this.toldAs({ ...progress, grid: grids[0] ?? grids[1], evidence, tradeOff });
  }

  private keyFor(
    { smoothing, base }: ChoiceJob<Base>,
    input: TakeInput,
    ...rest: readonly unknown[]
  ): string {
    const { x, y } = this.problem;
    // The map does not depend on where its own two settings stand.
    const any = this.problem.at(base, x.values[0]!, y.values[0]!);
    return keyOf(input, smoothing, any, this.takes.restsOn?.(input), ...rest);
  }

  private partOf(take: Take, base: Base): TakePart<Grid, Own, Found> {
    const evidence = this.problem.evidence(take, base);
    const grid = this.problem.sweep(take, base, evidence);
    return { evidence, grid, found: this.beside?.of(take, base, grid) ?? null };
  }

  /** Takes that do not count are told of, and left out of the sums. */
  private withPart(
    summed: Summed<Grid, Own>,
    { evidence, grid, found }: TakePart<Grid, Own, Found>,
  ): Summed<Grid, Own> {
    const noted = { ...summed, evidence: [...summed.evidence, evidence] };
    const rank = this.problem.rank(evidence);
    if (rank === null) return noted;
    const before = summed.grids[rank];
    const sum = this.problem.sum(before === null ? [grid] : [before, grid]);
    const tradeOff = found === null ? null : (this.beside?.tradeOff?.(summed.tradeOff, found) ?? null);
    return { ...noted, grids: rank === 0 ? [sum, summed.grids[1]] : [summed.grids[0], sum], tradeOff };
  }

  private countedOf<One extends Swept<TakePart<Grid, Own, Found>>>(swept: readonly One[]): readonly One[] {
    const ranked = (rank: 0 | 1) => swept.filter(({ part }) => this.problem.rank(part.evidence) === rank);
    const first = ranked(0);
    return first.length > 0 ? first : ranked(1);
  }

  private tellingOf(swept: readonly Swept<TakePart<Grid, Own, Found>>[]) {
    return this.countedOf(swept).filter(({ part }) => this.problem.tells?.(part.grid) ?? true);
  }

  private decide(
    { grids, evidence }: Summed<Grid, Own>,
    swept: readonly Swept<TakePart<Grid, Own, Found>>[],
  ): ChoiceResult<Part, Why> {
    const grid = grids[0] ?? grids[1];
    const choice = suggest(this.problem, grid, evidence);
    const nothing = { lost: [], wrong: [], stress: [], stressed: 0 };
    if (choice.kind === 'declined' || grid === null)
      return { choice, byTake: null, byPerformer: null, borders: [], agreement: null, ...nothing };
    return {
      choice,
      ...leftOutInTurn(this.tellingOf(swept), (groups) => leaveOut(this.problem, groups)),
      borders: bordersOf(this.problem, choice, grid),
      agreement: this.agreementOf(choice, swept),
      ...nothing,
    };
  }

  private agreementOf(
    choice: Suggestion<Part>,
    swept: readonly Swept<TakePart<Grid, Own, Found>>[],
  ): Agreement | null {
    const counted = new Set(this.countedOf(swept));
    const found = swept.flatMap((one) => {
      const { grid, evidence, found: its } = one.part;
      if (its === null || evidence.unfit !== null) return [];
      return [{ id: one.take.id, grid: counted.has(one) ? grid : null, found: its }];
    });
    return this.beside?.agree?.(choice, found) ?? null;
  }

  /** The second pass: what lies at the borders, what is wrong even so, and what becomes of all under stress. */
  private async check(
    job: ChoiceJob<Base>,
    around: Surroundings,
    swept: readonly Swept<TakePart<Grid, Own, Found>>[],
    result: ChoiceResult<Part, Why>,
    tell: (result: ChoiceResult<Part, Why>) => JobValue,
  ): Promise<ChoiceResult<Part, Why>> {
    const { choice, borders } = result;
    // Where even the best setting does badly, what it gets wrong is named all the same.
    const place = choice.kind === 'declined' ? choice.decline.bestAt : { x: choice.x, y: choice.y };
    if (place === undefined) return result;
    const { smoothing, base } = job;
    const takes = this.tellingOf(swept).map(({ take }) => take);
    const done: { readonly take: JobTake; readonly checks: TakeChecks<Part, Why> }[] = [];
    const soFar = () => {
      const found = inOrder(done, takes).map(({ checks }) => checks);
      return { ...result, ...sumChecks(this.problem, found) };
    };
    await overTakes(
      takes,
      around,
      async (input, take, next) => {
        const checks = await this.checks.of(this.keyFor(job, input, place, borders), async () => {
          const read = await this.takes.read(job, input, around, next?.id);
          return checkTake(this.problem, read, base, smoothing, place, borders);
        });
        done.push({ take, checks });
      },
      () => tell(soFar()),
    );
    return soFar();
  }
}
