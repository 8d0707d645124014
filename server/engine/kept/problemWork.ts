import { type StressResult, stressTake, sumStress } from '../choose/checkTake.ts';
import { errorsOf } from '../choose/cost.ts';
import { type HeldOut, leaveOut } from '../choose/leaveOut.ts';
import { leftOutInTurn } from '../choose/leftOut.ts';
import { type Evidence, type KOfN, type Problem, recordOf, sizeIn } from '../choose/problem.ts';
import { suggest } from '../choose/suggest.ts';
import type { SpeedSignals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import type { SweepGrid } from '../sweep/grid.ts';
import { declineWords } from '../words/choose/declines.ts';
import { PROBLEM_WORDS } from '../words/choose/problems.ts';
import { intervalOf } from '../words/choose/suggestion.ts';
import type { Counts, HeldOutEvidence, ProblemEvidence, SettingMap, StressEvidence } from './keptSetting.ts';
import { marginsOf, withOwn } from './margins.ts';
import type { SettingTake } from './settingTake.ts';

/** What one take says of one problem with a setting; of the problem that made it, and of no other. */
export interface ProblemPart {
  readonly evidence: Evidence;
  readonly grid: SweepGrid;
  /** The same with the setting's own values among those that are tried. */
  readonly around: SweepGrid;
  /** The setting's own count of each part. */
  readonly wrong: Readonly<Record<string, number>>;
  readonly stress: readonly StressResult[];
}

/** A take's part with the names by which takes are left out. */
export interface NamedPart {
  readonly take: { readonly id: string; readonly title: string; readonly performer: string };
  readonly part: ProblemPart;
}

/** The work on one problem: take by take, then over all of them. */
export interface ProblemWork {
  readonly kind: Problem<never, never, never, never, never, never>['kind'];
  judge(take: SettingTake, candidate: Candidate): ProblemPart;
  sum(parts: readonly NamedPart[], candidate: Candidate): ProblemEvidence;
}

type AnyTake = { readonly id: string; readonly title: string; readonly signals: SpeedSignals };

export function problemWork<
  Part extends string,
  Grid extends SweepGrid<Part>,
  Base,
  Take extends AnyTake,
  Own extends Evidence,
  Why,
>(
  problem: Problem<Part, Grid, Base, Take, Own, Why>,
  takeOf: (take: SettingTake) => Take,
  baseOf: (candidate: Candidate) => Base,
): ProblemWork {
  const parts = problem.errors.flat();
  const pointOf = (candidate: Candidate) => {
    const group = candidate[problem.group] as unknown as Readonly<Record<string, number>>;
    return { x: group[problem.x.field]!, y: group[problem.y.field]! };
  };

  const judge = (whole: SettingTake, candidate: Candidate): ProblemPart => {
    const take = takeOf(whole);
    const base = baseOf(candidate);
    const { x, y } = pointOf(candidate);
    const judged = problem.judge(take, base, take.signals);
    const evidence = problem.evidence(take, base);
    const grid = problem.sweep(take, base, evidence);
    const isOn = problem.x.values.includes(x) && problem.y.values.includes(y);
    const axes = { xs: withOwn(problem.x.values, x), ys: withOwn(problem.y.values, y) };
    return {
      evidence,
      grid,
      around: isOn ? grid : problem.sweep(take, base, evidence, axes),
      wrong: recordOf(parts, (part) => judged.filter(({ wrong }) => wrong === part).length),
      stress: stressTake(problem, take, candidate.smoothing, base),
    };
  };

  const sum = (all: readonly NamedPart[], candidate: Candidate): ProblemEvidence => {
    const point = pointOf(candidate);
    const counted = countedOf(problem, all);
    const grid = counted.length === 0 ? null : problem.sum(counted.map(({ part }) => part.grid as Grid));
    const choice = suggest(
      problem,
      grid,
      all.map(({ part }) => part.evidence as Own),
    );
    const nothing = {
      suggested: null,
      margins: null,
      byTake: null,
      byPerformer: null,
      stress: [],
      map: null,
    };
    const told = { kind: problem.kind, ...point };
    const own = ownCounts(problem, counted, grid);
    if (choice.kind === 'declined' || grid === null) {
      const declined = choice.kind === 'declined' ? declineWords(choice.decline).text : null;
      return { ...told, declined, wrong: own, ...nothing };
    }
    const telling = counted.filter(({ part }) => problem.tells?.(part.grid as Grid) ?? true);
    const around = problem.sum(counted.map(({ part }) => part.around as Grid));
    const held = leftOutInTurn(
      telling.map(({ take, part }) => ({ take, part: { grid: part.grid as Grid } })),
      (groups) => leaveOut(problem, groups),
    );
    return {
      ...told,
      declined: null,
      wrong: own,
      suggested: { x: choice.x, y: choice.y },
      margins: marginsOf(problem, around, point, choice.plateau.tightRoom === null ? 0 : 1),
      byTake: heldOut(problem, held.byTake),
      byPerformer: heldOut(problem, held.byPerformer),
      stress: sumStress(
        problem,
        telling.map(({ part }) => part.stress as readonly StressResult<Part>[]),
      ) as readonly StressEvidence[],
      map: mapOf(problem, grid, choice.plateau.region),
    };
  };

  return { kind: problem.kind, judge, sum };
}

type Summed<Part extends string> = Pick<
  Problem<Part, SweepGrid<Part>, never, never, never, never>,
  'kind' | 'errors' | 'sizeOf' | 'heldOut' | 'x'
>;

/** The takes whose counts are summed: those of rank 0, or, where there is none, those of rank 1. */
function countedOf<Own extends Evidence>(
  problem: { rank(evidence: Own): 0 | 1 | null },
  all: readonly NamedPart[],
): readonly NamedPart[] {
  const ranked = (rank: 0 | 1) => all.filter(({ part }) => problem.rank(part.evidence as Own) === rank);
  const first = ranked(0);
  return first.length > 0 ? first : ranked(1);
}

function ownCounts<Part extends string>(
  problem: Summed<Part>,
  counted: readonly NamedPart[],
  grid: SweepGrid<Part> | null,
): Counts {
  return countsOf(
    problem,
    recordOf(problem.errors.flat(), (part) => ({
      k: counted.reduce((total, one) => total + one.part.wrong[part]!, 0),
      n: grid === null ? 0 : sizeIn(problem, grid, part),
    })),
  );
}

/** With an interval where a part is claimed of things, each of which goes right or wrong. */
function countsOf<Part extends string>(problem: Summed<Part>, wrong: Readonly<Record<Part, KOfN>>): Counts {
  const shares = PROBLEM_WORDS[problem.kind].claims.flatMap(({ parts }) => parts);
  return recordOf(problem.errors.flat(), (part) => ({
    ...wrong[part],
    interval: shares.includes(part) ? intervalOf(problem.kind, wrong[part]) : null,
  }));
}

function heldOut<Part extends string>(
  problem: Summed<Part>,
  held: HeldOut<Part> | null,
): HeldOutEvidence | null {
  if (held === null) return null;
  const { worst } = held;
  const isWrong = worst !== null && problem.errors.flat().some((part) => worst.wrong[part].k > 0);
  return {
    folds: held.folds.filter(({ setting }) => setting !== null).length,
    wrong: countsOf(problem, held.wrong),
    worst: isWrong ? { name: worst.name, wrong: countsOf(problem, worst.wrong) } : null,
  };
}

function mapOf<Part extends string>(
  problem: Summed<Part>,
  grid: SweepGrid<Part>,
  region: Uint8Array,
): SettingMap {
  return {
    xs: [...grid.xs],
    ys: [...grid.ys],
    wrong: [...errorsOf(problem, grid)].map((count) => (Number.isNaN(count) ? null : count)),
    of: problem.errors.reduce((of, [part]) => of + sizeIn(problem, grid, part!), 0),
    plateau: [...region].map((cell) => (cell === 1 ? 1 : 0)),
  };
}
