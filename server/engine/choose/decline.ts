import type { DeclineKind, Evidence, KOfN, Problem, ProblemKind, Weighing } from './problem.ts';

/** Why nothing is suggested: the first reason that holds, with all that a sentence on it needs. */
export interface Decline {
  readonly kind: DeclineKind;
  readonly problem: ProblemKind;
  /** Sums over the takes that are fit, by the names of the evidence's counts. */
  readonly have: Readonly<Record<string, number>>;
  /** All takes asked about. */
  readonly takes: readonly Evidence[];
  /** Where even the best of all settings does badly. */
  readonly best: Readonly<Record<string, KOfN>> | null;
  /** Which that is: to find what it gets wrong, not to be offered. */
  readonly bestAt?: { readonly x: number; readonly y: number };
}

/** Fewer labelled events of a kind than this tell nothing: even 0 of 5 leaves up to 43 % open (Wilson, 95 %). */
export const LEAST_EVENTS = 5;

/** Largest share of the events that may be wrong at the best of all settings. */
const MOST_WRONG_SHARE = 0.25;

/**
 * The one rule of evidence: what speaks against choosing at all, before any setting is looked at; null where nothing does.
 * Whatever offers a setting asks it, and where it declines shows its words and no number.
 */
export function declineOn<Own extends Evidence>(
  {
    kind: problem,
    decline,
  }: Pick<Weighing, 'kind'> & Pick<Problem<never, never, never, never, Own, never>, 'decline'>,
  takes: readonly Own[],
): Decline | null {
  const fit = takes.filter(({ unfit }) => unfit === null);
  const have = sumsOf(fit);
  const kind = fit.length === 0 ? 'unfit' : decline(have, fit);
  return kind === null ? null : { kind, problem, have, takes, best: null };
}

/** Where the best of all settings still gets more than 1 in 4 wrong: labels of presses then contradict one another. */
export function noneGood<Part extends string>(
  { kind: problem, errors }: Weighing<Part>,
  { wrong, x, y }: { readonly wrong: Readonly<Record<Part, KOfN>>; readonly x: number; readonly y: number },
  takes: readonly Evidence[],
): Decline | null {
  const isBad = (parts: readonly Part[]) =>
    parts.reduce((sum, part) => sum + wrong[part].k, 0) > MOST_WRONG_SHARE * wrong[parts[0]!].n;
  if (!errors.some(isBad)) return null;
  const kind = problem === 'guard' ? 'contradictory' : 'noneGood';
  const have = sumsOf(takes.filter(({ unfit }) => unfit === null));
  return { kind, problem, have, takes, best: wrong, bestAt: { x, y } };
}

function sumsOf(takes: readonly Evidence[]): Record<string, number> {
  const sums: Record<string, number> = {};
  for (const take of takes)
    for (const [name, value] of Object.entries(take))
      if (typeof value === 'number') sums[name] = (sums[name] ?? 0) + value;
  return sums;
}

/** Whether one labeller contradicts himself on any of the takes. */
export function areContradictory(fit: readonly Evidence[]): boolean {
  return fit.some(({ contradictionsUs }) => (contradictionsUs ?? []).length > 0);
}
