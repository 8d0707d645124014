import { type SweepGrid, sumGrids, withoutGrid } from '../sweep/grid.ts';
import { LEAST_EVENTS } from './decline.ts';
import { type KOfN, recordOf, sizeIn, type Weighing, wrongAt } from './problem.ts';
import { plateauOf } from './suggest.ts';

/** One group (a take, or all takes of a performer) left out: chosen on the others, scored on this one. */
export interface Fold<Name extends string = string> {
  readonly name: string;
  /** null where the others could not decide: they hold too little of what `lack` names. */
  readonly setting: { readonly x: number; readonly y: number } | null;
  readonly lack: Lack | null;
  readonly wrong: Readonly<Record<Name, KOfN>>;
}

/** So few of a size that nothing can be chosen, as a suggestion would be declined for it. */
interface Lack {
  readonly size: string;
  readonly have: number;
}

export interface HeldOut<Name extends string = string> {
  readonly folds: readonly Fold<Name>[];
  /** The fold that went worst; null where no fold has a setting. */
  readonly worst: Fold<Name> | null;
  /** Over all folds that have a setting. */
  readonly wrong: Readonly<Record<Name, KOfN>>;
}

/** A take's grid; those of one group share its key, and go out together. */
interface GroupedGrid<Name extends string> {
  readonly key: string;
  readonly name: string;
  readonly grid: SweepGrid<Name>;
  /** What a choice on the others is scored on, where it is not the grid itself. */
  readonly scored?: SweepGrid<Name>;
}

/**
 * Chooses on all groups but one and scores on that one, for each in turn; the worst has most wrong.
 * @param parts  one for each take, all over the same settings.
 * @returns null where there is but one group: nothing is left to choose on.
 */
export function leaveOut<Name extends string>(
  problem: Weighing<Name>,
  parts: readonly GroupedGrid<Name>[],
): HeldOut<Name> | null {
  const groups = new Map<string, GroupedGrid<Name>[]>();
  for (const part of parts) groups.set(part.key, [...(groups.get(part.key) ?? []), part]);
  if (groups.size < 2) return null;
  const total = sumGrids(parts.map(({ grid }) => grid));
  const folds = [...groups.values()].map((group) => foldOf(problem, group, total));
  const decided = folds.filter(({ setting }) => setting !== null);
  return {
    folds,
    worst: decided.reduce<Fold<Name> | null>(
      (worst, fold) =>
        worst === null || isMore(badness(problem, fold), badness(problem, worst)) ? fold : worst,
      null,
    ),
    wrong: recordOf(problem.heldOut, (part) =>
      decided.reduce((sum, { wrong }) => ({ k: sum.k + wrong[part].k, n: sum.n + wrong[part].n }), {
        k: 0,
        n: 0,
      }),
    ),
  };
}

function foldOf<Name extends string>(
  problem: Weighing<Name>,
  group: readonly GroupedGrid<Name>[],
  total: SweepGrid<Name>,
): Fold<Name> {
  const rest = withoutGrid(total, sumGrids(group.map(({ grid }) => grid)));
  const lack = lackIn(problem, rest);
  const chosen = lack === null ? plateauOf(problem, rest) : null;
  const left = sumGrids(group.map(({ grid, scored }) => scored ?? grid));
  return {
    name: group[0]!.name,
    setting: chosen && { x: chosen.plateau.x, y: chosen.plateau.y },
    lack,
    wrong: recordOf(problem.heldOut, (part) => ({
      k: chosen === null ? 0 : wrongAt(left, part, chosen.cell),
      n: sizeIn(problem, left, part),
    })),
  };
}

function lackIn({ needs }: Pick<Weighing, 'needs'>, { sizes }: SweepGrid): Lack | null {
  const size = needs.find((one) => sizes[one]! < LEAST_EVENTS);
  return size === undefined ? null : { size, have: sizes[size]! };
}

/** First what counts singly, then what counts in steps. */
function badness<Name extends string>(problem: Weighing<Name>, { wrong }: Fold<Name>): readonly number[] {
  const sum = (parts: readonly Name[]) => parts.reduce((total, part) => total + (wrong[part]?.k ?? 0), 0);
  return [sum(problem.errors.flat()), sum(problem.steps)];
}

/** Whether a is worse than b by the first of their numbers that differ. */
export function isMore(a: readonly number[], b: readonly number[]): boolean {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at >= 0 && a[at]! > b[at]!;
}
