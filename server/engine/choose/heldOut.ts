import { findPlateau } from '../sweep/plateau.ts';
import { costOf, type Outcome } from './cost.ts';
import type { GuardGrid } from './takeSweep.ts';

/** One group (a take, or all takes of a performer) left out: chosen on the others, scored on this one. */
export interface Fold {
  readonly name: string;
  /** null where the others could not decide; `why` says so. */
  readonly setting: { readonly speedDps: number; readonly holdMs: number } | null;
  readonly why: string | null;
  readonly strays: Part;
  readonly wanted: Part;
  readonly reversals: Part;
}

export interface Part {
  readonly k: number;
  readonly n: number;
}

export interface HeldOut {
  readonly folds: readonly Fold[];
  /** Over all folds that have a setting. */
  readonly strays: Part;
  readonly wanted: Part;
  readonly reversals: Part;
  /** The fold with most presses wrong, of equals with most reversals open; null where no fold has a setting. */
  readonly worst: Fold | null;
}

const NOTHING: Part = { k: 0, n: 0 };

/**
 * Chooses on all groups but one and scores on that one, for each in turn.
 * @param parts  one for each take, all over the same settings; those of one group share its key, and go out together.
 * @returns null where there is but one group: nothing is left to choose on.
 */
export function checkHeldOut(
  parts: readonly { readonly key: string; readonly name: string; readonly grid: GuardGrid }[],
): HeldOut | null {
  const groups = new Map<string, { name: string; grids: GuardGrid[] }>();
  for (const { key, name, grid } of parts) {
    const group = groups.get(key) ?? { name, grids: [] };
    group.grids.push(grid);
    groups.set(key, group);
  }
  if (groups.size < 2) return null;
  const total = outcomeSum(
    parts.map((part) => part.grid),
    null,
  );
  const folds = [...groups.values()].map(({ name, grids }) => {
    const own = outcomeSum(grids, null);
    return foldOf(name, own, outcomeSum([own], total));
  });
  const decided = folds.filter((fold) => fold.setting !== null);
  return {
    folds,
    strays: partSum(decided.map((fold) => fold.strays)),
    wanted: partSum(decided.map((fold) => fold.wanted)),
    reversals: partSum(decided.map((fold) => fold.reversals)),
    worst: decided.reduce<Fold | null>(
      (worst, fold) => (worst && !isWorse(fold, worst) ? worst : fold),
      null,
    ),
  };
}

function foldOf(name: string, own: Outcome, rest: Outcome): Fold {
  const sizes = {
    strays: { k: 0, n: own.strays },
    wanted: { k: 0, n: own.wanted },
    reversals: { k: 0, n: own.reversals },
  };
  const lack = rest.strays === 0 ? 'stray' : rest.wanted === 0 ? 'wanted' : null;
  if (lack !== null)
    return { name, setting: null, why: `the others hold no ${lack} press to choose by`, ...sizes };
  const plateau = findPlateau([...rest.speedsDps], [...rest.holdsMs], costOf(rest))!;
  const cell = plateau.xIndex * rest.holdsMs.length + plateau.yIndex;
  return {
    name,
    setting: { speedDps: plateau.x, holdMs: plateau.y },
    why: null,
    strays: { k: own.strayLetThrough[cell]!, n: own.strays },
    wanted: { k: own.wantedRefused[cell]!, n: own.wanted },
    reversals: { k: own.reversalsOpen[cell]!, n: own.reversals },
  };
}

/** The sum of grids, or what is left of `from` without them. */
function outcomeSum(grids: readonly Outcome[], from: Outcome | null): Outcome {
  const { speedsDps, holdsMs } = grids[0]!;
  const number = (of: (grid: Outcome) => number): number => {
    const sum = grids.reduce((total, grid) => total + of(grid), 0);
    return from === null ? sum : of(from) - sum;
  };
  const column = <T extends Int32Array | Float64Array>(of: (grid: Outcome) => T): T => {
    const out = of(from ?? grids[0]!).slice() as T;
    const sign = from === null ? 1 : -1;
    for (const grid of from === null ? grids.slice(1) : grids) {
      const values = of(grid);
      for (let i = 0; i < out.length; ++i) out[i]! += sign * values[i]!;
    }
    return out;
  };
  return {
    speedsDps,
    holdsMs,
    strays: number((grid) => grid.strays),
    wanted: number((grid) => grid.wanted),
    reversals: number((grid) => grid.reversals),
    quietS: number((grid) => grid.quietS),
    strayLetThrough: column((grid) => grid.strayLetThrough),
    wantedRefused: column((grid) => grid.wantedRefused),
    reversalsOpen: column((grid) => grid.reversalsOpen),
    quietClosedS: column((grid) => grid.quietClosedS),
  };
}

function partSum(parts: readonly Part[]): Part {
  return parts.reduce(({ k, n }, part) => ({ k: k + part.k, n: n + part.n }), NOTHING);
}

function isWorse(a: Fold, b: Fold): boolean {
  const wrong = ({ strays, wanted }: Fold) => strays.k + wanted.k;
  return wrong(a) > wrong(b) || (wrong(a) === wrong(b) && a.reversals.k > b.reversals.k);
}
