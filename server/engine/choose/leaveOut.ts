import { many } from '../base/counted.ts';
import { LEAST_PRESSES } from './decline.ts';

/** k of n events that came out wrong. */
export interface Part {
  readonly k: number;
  readonly n: number;
}

/** One group (a take, or all takes of a performer) left out: chosen on the others, scored on this one. */
export type Fold<Setting, Name extends string> = {
  readonly name: string;
  /** null where the others could not decide; `why` says so. */
  readonly setting: Setting | null;
  readonly why: string | null;
} & Readonly<Record<Name, Part>>;

export type HeldOut<Setting, Name extends string> = {
  readonly folds: readonly Fold<Setting, Name>[];
  /** The fold that went worst; null where no fold has a setting. */
  readonly worst: Fold<Setting, Name> | null;
  /** Over all folds that have a setting. */
} & Readonly<Record<Name, Part>>;

/** What leaving out needs to know of that which is chosen. */
export interface LeaveOutRules<Grid, Setting, Name extends string> {
  readonly names: readonly Name[];
  /** @param grids  one or more. */
  sum(grids: readonly Grid[]): Grid;
  without(total: Grid, own: Grid): Grid;
  /** What the others hold too little of to choose by, see `lackOf`; null where they lack nothing. */
  lackOf(rest: Grid): string | null;
  choose(rest: Grid): { readonly setting: Setting; readonly cell: number };
  sizeOf(own: Grid, name: Name): number;
  wrongAt(own: Grid, name: Name, cell: number): number;
  /** What makes a fold worse than another, the weightiest first. */
  badness(fold: Readonly<Record<Name, Part>>): readonly number[];
}

/** What is counted, as in "1 swing" and "2 swings". */
export interface Counted {
  readonly one: string;
  readonly several: string;
}

/** That there are too few of something to choose by, as a suggestion would be declined for it; null where there are enough. */
export function lackOf(have: number, { one, several }: Counted): string | null {
  if (have >= LEAST_PRESSES) return null;
  if (have === 0) return `no ${one} to choose by`;
  return `${many(have, one, several)}, too few to choose by: it takes ${LEAST_PRESSES}`;
}

/**
 * Chooses on all groups but one and scores on that one, for each in turn.
 * @param parts  one for each take, all over the same settings; those of one group share its key, and go out together.
 * @returns null where there is but one group: nothing is left to choose on.
 */
export function leaveOut<Grid, Setting, Name extends string>(
  parts: readonly { readonly key: string; readonly name: string; readonly grid: Grid }[],
  rules: LeaveOutRules<Grid, Setting, Name>,
): HeldOut<Setting, Name> | null {
  const groups = new Map<string, { name: string; grids: Grid[] }>();
  for (const { key, name, grid } of parts) {
    const group = groups.get(key) ?? { name, grids: [] };
    group.grids.push(grid);
    groups.set(key, group);
  }
  if (groups.size < 2) return null;
  const total = rules.sum(parts.map((part) => part.grid));
  const folds = [...groups.values()].map(({ name, grids }) => {
    const own = rules.sum(grids);
    return foldOf(name, own, rules.without(total, own), rules);
  });
  const decided = folds.filter((fold) => fold.setting !== null);
  const sums = partsOf(rules.names, (name) => partSum(decided.map((fold) => fold[name])));
  return { folds, worst: worstOf(decided, rules), ...sums };
}

function foldOf<Grid, Setting, Name extends string>(
  name: string,
  own: Grid,
  rest: Grid,
  rules: LeaveOutRules<Grid, Setting, Name>,
): Fold<Setting, Name> {
  const lack = rules.lackOf(rest);
  const chosen = lack === null ? rules.choose(rest) : null;
  const parts = partsOf(rules.names, (part) => ({
    k: chosen === null ? 0 : rules.wrongAt(own, part, chosen.cell),
    n: rules.sizeOf(own, part),
  }));
  const why = lack === null ? null : `the others hold ${lack}`;
  return { name, setting: chosen?.setting ?? null, why, ...parts };
}

function worstOf<Grid, Setting, Name extends string>(
  folds: readonly Fold<Setting, Name>[],
  { badness }: LeaveOutRules<Grid, Setting, Name>,
): Fold<Setting, Name> | null {
  let worst: Fold<Setting, Name> | null = null;
  for (const fold of folds) if (worst === null || isMore(badness(fold), badness(worst))) worst = fold;
  return worst;
}

/** Whether a is worse than b by the first of their numbers that differ. */
export function isMore(a: readonly number[], b: readonly number[]): boolean {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at >= 0 && a[at]! > b[at]!;
}

function partsOf<Name extends string>(
  names: readonly Name[],
  of: (name: Name) => Part,
): Readonly<Record<Name, Part>> {
  return Object.fromEntries(names.map((name) => [name, of(name)])) as Record<Name, Part>;
}

function partSum(parts: readonly Part[]): Part {
  return parts.reduce(({ k, n }, part) => ({ k: k + part.k, n: n + part.n }), { k: 0, n: 0 });
}

/** a + b or a - b, cell by cell. */
export function combined<T extends Int32Array | Float64Array>(a: T, b: T, sign: 1 | -1): T {
  const out = a.slice() as T;
  for (let i = 0; i < out.length; ++i) out[i]! += sign * b[i]!;
  return out;
}
