import { type Border, bordersOf } from '../../server/engine/choose/borders.ts';
import { checkTake, sumChecks, type TakeChecks } from '../../server/engine/choose/checkTake.ts';
import { leaveOut } from '../../server/engine/choose/leaveOut.ts';
import { leftOutInTurn } from '../../server/engine/choose/leftOut.ts';
import type { Agreement } from '../../server/engine/choose/motion/agreement.ts';
import type { Evidence, Problem } from '../../server/engine/choose/problem.ts';
import { type Suggestion, suggest } from '../../server/engine/choose/suggest.ts';
import type { SpeedSignals } from '../../server/engine/motion/signals.ts';
import type { SweepGrid } from '../../server/engine/sweep/grid.ts';
import type { TakeReader } from '../takes/reader.ts';
import type {
  ChoiceJob,
  ChoiceResult,
  ChoiceValue,
  JobTake,
  JobValue,
  TakeInput,
  ToChoose,
  TradeOff,
} from './jobs.ts';
import type { AnsweredPiece, CheckedAt, FindPiece } from './piece.ts';
import { findKept, inOrder, Kept, type Noted, overTakes, type Surroundings } from './runner.ts';
import { SumInOrder } from './sumInOrder.ts';

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
  tradeOff?(sum: TradeOff | null, found: readonly Found[]): TradeOff;
  /** @param takes  those that are fit; `grid` is null where it does not count. */
  agree?(
    choice: Suggestion<Part>,
    takes: readonly { readonly id: string; readonly grid: Grid | null; readonly found: Found }[],
  ): Agreement | null;
}

/** How a problem's takes are read. */
export interface TakesOf<Base, Take> {
  read(job: Settings<Base>, input: TakeInput, reader: TakeReader, nextId?: string): Promise<Take>;
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

/** A job without its takes. */
type Settings<Base> = Omit<ChoiceJob<Base>, 'takes'> & Pick<ToChoose, 'kind'>;

/** The work of some problem, for whoever goes by the kind of a job alone. */
export interface AnyChoiceWork {
  run(job: Settings<unknown> & Pick<ChoiceJob<unknown>, 'takes'>, around: Surroundings): Promise<void>;
  /** What the pieces of a job rest on besides their take, as far as it is known before a choice is made. */
  settingsKey(job: Settings<unknown>): unknown;
  partWork(job: Settings<unknown>, input: TakeInput): FindPiece;
  checkWork(job: Settings<unknown>, input: TakeInput, at: CheckedAt): FindPiece;
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
  private readonly parts = new Kept<AnsweredPiece>(100);
  private readonly checks = new Kept<AnsweredPiece>(300);

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

  /** Tells what is found so far, take by take; what comes out depends neither on the take it began with nor on which was found first. */
  async run(
    { takes, ...job }: Settings<Base> & Pick<ChoiceJob<Base>, 'takes'>,
    around: Surroundings,
  ): Promise<void> {
    const found = new Map<JobTake, TakePart<Grid, Own, Found>>();
    const nothing: Summed<Grid, Own> = { grids: [null, null], evidence: [], tradeOff: null };
    const sum = new SumInOrder<TakePart<Grid, Own, Found>, Summed<Grid, Own>>(
      takes.length,
      nothing,
      (so, parts) => this.withParts(so, parts),
    );
    const places = new Map(takes.map((take, i) => [take, i]));
    const noted = await overTakes<TakePart<Grid, Own, Found>>(
      takes,
      around,
      findKept(around, this.parts, { what: 'part', job: job as ToChoose }, ['part', this.settingsKey(job)]),
      (take, part) => {
        sum.put(places.get(take)!, part);
        if (part) found.set(take, this.slim(part));
      },
      (progress) =>
        this.value({ stage: 'sweeping', total: takes.length, ...progress, result: null }, sum.soFar()),
    );
    const swept = inOrder(found, takes).map(([take, part]) => ({ take, part }));
    const summed = sum.soFar();
    const result = this.decide(summed, swept);
    const value = (stage: 'checking' | 'done', now: ChoiceResult<Part, Why>, unchecked: Noted['failed']) =>
      this.value(
        {
          stage,
          done: stage === 'done' ? swept.length : now.stressed,
          total: swept.length,
          ...noted,
          failed: [...noted.failed, ...unchecked],
          result: now,
        },
        summed,
      );
    around.report(() => value('checking', result, []));
    const tell = (now: ChoiceResult<Part, Why>, failed: Noted['failed']) => value('checking', now, failed);
    const checked = await this.check(job, around, swept, result, tell);
    around.report(() => value('done', checked.result, checked.failed));
  }

  /** How a take's part of the map is found. */
  partWork(job: Settings<Base>, input: TakeInput): FindPiece {
    return async (reader, nextId) => this.partOf(await this.takes.read(job, input, reader, nextId), job.base);
  }

  /** The same for what becomes of a choice on a take. */
  checkWork(job: Settings<Base>, input: TakeInput, at: CheckedAt): FindPiece {
    const borders = at.borders as readonly Border<Part>[];
    return async (reader, nextId) => {
      const read = await this.takes.read(job, input, reader, nextId);
      return checkTake(this.problem, read, job.base, job.smoothing, at.place, borders);
    };
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

  settingsKey({ kind, smoothing, base }: Settings<Base>): unknown {
    const { x, y } = this.problem;
    // The map does not depend on where its own two settings stand.
    return [kind, smoothing, this.problem.at(base, x.values[0]!, y.values[0]!)];
  }

  /** What is needed of a part once it is summed: of a thousand takes the rest would fill the memory. */
  private slim(part: TakePart<Grid, Own, Found>): TakePart<Grid, Own, Found> {
    return this.beside?.agree ? part : { ...part, found: null };
  }

  private partOf(take: Take, base: Base): TakePart<Grid, Own, Found> {
    const evidence = this.problem.evidence(take, base);
    const grid = this.problem.sweep(take, base, evidence);
    return { evidence, grid, found: this.beside?.of(take, base, grid) ?? null };
  }

  /** Takes that do not count are told of, and left out of the sums. */
  private withParts(
    summed: Summed<Grid, Own>,
    parts: readonly TakePart<Grid, Own, Found>[],
  ): Summed<Grid, Own> {
    const { sum, rank } = this.problem;
    const withRanked = (its: 0 | 1): Grid | null => {
      const before = summed.grids[its];
      const grids = parts.filter(({ evidence }) => rank(evidence) === its).map(({ grid }) => grid);
      if (grids.length === 0) return before;
      return sum(before === null ? grids : [before, ...grids]);
    };
    const found = parts.flatMap((part) =>
      part.found === null || rank(part.evidence) === null ? [] : [part.found],
    );
    return {
      grids: [withRanked(0), withRanked(1)],
      evidence: [...summed.evidence, ...parts.map(({ evidence }) => evidence)],
      tradeOff:
        found.length === 0 ? summed.tradeOff : (this.beside?.tradeOff?.(summed.tradeOff, found) ?? null),
    };
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

  /**
   * The second pass: what lies at the borders, what is wrong even so, and what becomes of all under stress. A take that can no
   * longer be read is told of: the counts are without it.
   */
  private async check(
    job: Settings<Base>,
    around: Surroundings,
    swept: readonly Swept<TakePart<Grid, Own, Found>>[],
    result: ChoiceResult<Part, Why>,
    tell: (result: ChoiceResult<Part, Why>, failed: Noted['failed']) => JobValue,
  ): Promise<{ readonly result: ChoiceResult<Part, Why> } & Pick<Noted, 'failed'>> {
    const { choice, borders } = result;
    // Where even the best setting does badly, what it gets wrong is named all the same.
    const place = choice.kind === 'declined' ? choice.decline.bestAt : { x: choice.x, y: choice.y };
    if (place === undefined) return { result, failed: [] };
    const takes = this.tellingOf(swept).map(({ take }) => take);
    const done = new Map<JobTake, TakeChecks<Part, Why>>();
    const soFar = () => {
      const found = inOrder(done, takes).map(([, checks]) => checks);
      return { ...result, ...sumChecks(this.problem, found) };
    };
    const at: CheckedAt = { place: { x: place.x, y: place.y }, borders };
    const { failed } = await overTakes<TakeChecks<Part, Why>>(
      takes,
      around,
      findKept(around, this.checks, { what: 'check', job: job as ToChoose, at }, [
        'check',
        this.settingsKey(job),
        at,
      ]),
      (take, checks) => checks && done.set(take, checks),
      (progress) => tell(soFar(), progress.failed),
    );
    return { result: soFar(), failed };
  }
}
