import { suggestOn } from '../choose/suggest.ts';
import { sumGrids } from '../choose/sumGrids.ts';
import type { GuardGrid } from '../choose/takeSweep.ts';

/** What a guard setting does to one group of takes. */
export interface GuardOutcome {
  readonly strays: Part;
  readonly wanted: Part;
  /** Reversals at which the guard opens. */
  readonly reversals: Part;
  readonly openShare: number | null;
  /** The longest of its takes' medians. */
  readonly waitMs: number | null;
}

export interface Part {
  readonly k: number;
  readonly n: number;
}

export interface GuardPoint {
  readonly speedDps: number;
  readonly holdMs: number;
}

export interface SharedRow {
  readonly name: string;
  /** What would be chosen for this group alone; null where it cannot be, and `why` says why not. */
  readonly own: (GuardPoint & { readonly outcome: GuardOutcome }) | null;
  readonly why: string | null;
  readonly shared: GuardOutcome;
  /** What sharing costs this group: the shared outcome less its own. null where it has none of its own. */
  readonly price: Price | null;
}

export interface Price {
  /** Presses more that come out wrong, strays let through and wanted ones refused alike. */
  readonly wrong: number;
  readonly reversals: number;
  readonly waitMs: number | null;
  readonly openShare: number | null;
}

export interface Sharing {
  readonly setting: GuardPoint;
  readonly rows: readonly SharedRow[];
  /** Over the groups that have a setting of their own. */
  readonly wrong: number;
}

export type SharingResult =
  | ({ readonly kind: 'shared' } & Sharing)
  | { readonly kind: 'declined'; readonly why: string };

/**
 * One guard setting for all groups against one for each, all chosen by the same rule.
 * @param takes  each with the group it belongs to; grids over the same settings.
 */
export function priceOfSharing(
  takes: readonly { readonly group: string; readonly grid: GuardGrid }[],
): SharingResult {
  const groups = [...new Set(takes.map(({ group }) => group))].map((name) => ({
    name,
    grid: sumGrids(takes.filter(({ group }) => group === name).map(({ grid }) => grid)),
  }));
  if (groups.length < 2) return declined('There is one group only: nothing is shared.');
  const all = sumGrids(groups.map(({ grid }) => grid));
  if (all.strays === 0)
    return declined(
      'No stray press is labelled in any of these takes: nothing says how far a guard must reach.',
    );
  if (all.wanted === 0)
    return declined(
      'No wanted press is labelled in any of these takes: nothing speaks against a guard that never opens.',
    );
  const { speedDps, holdMs, cell } = suggestOn(all);
  const rows = groups.map((group) => rowOf(group, cell));
  const wrong = rows.reduce((sum, { price }) => sum + (price?.wrong ?? 0), 0);
  return { kind: 'shared', setting: { speedDps, holdMs }, rows, wrong };
}

function rowOf(
  { name, grid }: { readonly name: string; readonly grid: GuardGrid },
  sharedCell: number,
): SharedRow {
  const shared = outcomeAt(grid, sharedCell);
  const why = whyNone(grid);
  if (why !== null) return { name, own: null, why, shared, price: null };
  const { speedDps, holdMs, cell } = suggestOn(grid);
  const outcome = outcomeAt(grid, cell);
  return { name, own: { speedDps, holdMs, outcome }, why: null, shared, price: priceOf(shared, outcome) };
}

function whyNone({ strays, wanted }: GuardGrid): string | null {
  if (strays + wanted === 0) return 'no labelled press';
  if (strays === 0) return 'no stray press: any guard is enough';
  if (wanted === 0) return 'no wanted press: any guard is allowed';
  return null;
}

function outcomeAt(grid: GuardGrid, cell: number): GuardOutcome {
  const orNull = (value: number) => (Number.isNaN(value) ? null : value);
  return {
    strays: { k: grid.strayLetThrough[cell]!, n: grid.strays },
    wanted: { k: grid.wantedRefused[cell]!, n: grid.wanted },
    reversals: { k: grid.reversalsOpen[cell]!, n: grid.reversals },
    openShare: orNull(grid.openShare[cell]!),
    waitMs: orNull(grid.waitMedianMs[cell]!),
  };
}

function priceOf(shared: GuardOutcome, own: GuardOutcome): Price {
  const less = (a: number | null, b: number | null) => (a === null || b === null ? null : a - b);
  return {
    wrong: shared.strays.k + shared.wanted.k - own.strays.k - own.wanted.k,
    reversals: shared.reversals.k - own.reversals.k,
    waitMs: less(shared.waitMs, own.waitMs),
    openShare: less(shared.openShare, own.openShare),
  };
}

function declined(why: string): SharingResult {
  return { kind: 'declined', why };
}
