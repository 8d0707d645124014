import { type Decline, declineOn } from '../choose/decline.ts';
import type { TakeEvidence } from '../choose/evidence.ts';
import { GUARD } from '../choose/guardProblem.ts';
import { type Choice, suggest } from '../choose/suggest.ts';
import type { GuardGrid, GuardPart } from '../choose/takeSweep.ts';
import { roomAt } from '../sweep/plateau.ts';

/** Result of a guard setting on one group of takes. */
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
  /** The choice for this group alone; null where there is none, and `decline` says why. */
  readonly own: (GuardPoint & { readonly outcome: GuardOutcome }) | null;
  readonly decline: Decline | null;
  /** null where there is no shared setting. */
  readonly shared: GuardOutcome | null;
  /**
   * The cost of sharing for this group: the shared outcome less that of its own setting. null where either is missing.
   */
  readonly price: Price | null;
}

export interface Price {
  /** Additional wrong presses, strays let through and wanted ones refused alike. */
  readonly wrong: number;
  readonly reversals: number;
  readonly waitMs: number | null;
  readonly openShare: number | null;
  /** Distance of each setting from the next worse one for this group, see `Plateau.room`. */
  readonly room: { readonly own: number; readonly shared: number };
}

export interface Sharing {
  /** null where no setting does well for all together, and `decline` says why: each group may still have its own. */
  readonly setting: GuardPoint | null;
  readonly decline: Decline | null;
  readonly rows: readonly SharedRow[];
  /** Sum over the groups that have a setting of their own. */
  readonly wrong: number;
}

type SharingResult =
  | ({ readonly kind: 'shared' } & Sharing)
  | { readonly kind: 'declined'; readonly decline: Decline };

export interface SharingTake {
  readonly group: string;
  readonly grid: GuardGrid;
  readonly evidence: TakeEvidence;
}

/**
 * One guard setting for all groups compared with one for each, all chosen, or declined, by the same rule as any
 * suggestion.
 * @param takes  fit takes, each with its group; grids over the same settings.
 */
export function priceOfSharing(takes: readonly SharingTake[]): SharingResult {
  const names = [...new Set(takes.map(({ group }) => group))];
  if (names.length < 2) return { kind: 'declined', decline: ONE_GROUP };
  const decline = declineOn(
    GUARD,
    takes.map(({ evidence }) => evidence),
  );
  if (decline !== null) return { kind: 'declined', decline };
  const choice = chooseFor(takes);
  const isMade = choice.kind === 'suggestion';
  const rows = names.map((name) =>
    rowOf(
      name,
      takes.filter(({ group }) => group === name),
      isMade ? choice.cell : null,
    ),
  );
  return {
    kind: 'shared',
    setting: isMade ? { speedDps: choice.x, holdMs: choice.y } : null,
    decline: isMade ? null : choice.decline,
    rows,
    wrong: rows.reduce((sum, { price }) => sum + (price?.wrong ?? 0), 0),
  };
}

const ONE_GROUP: Decline = {
  kind: 'oneGroup',
  problem: 'guard',
  have: {},
  takes: [],
  best: null,
};

function chooseFor(takes: readonly SharingTake[]): Choice<GuardPart> {
  const grid = GUARD.sum(takes.map((take) => take.grid));
  return suggest(
    GUARD,
    grid,
    takes.map(({ evidence }) => evidence),
  );
}

function rowOf(name: string, takes: readonly SharingTake[], sharedCell: number | null): SharedRow {
  const grid = GUARD.sum(takes.map((take) => take.grid));
  const shared = sharedCell === null ? null : outcomeAt(grid, sharedCell);
  const choice = chooseFor(takes);
  if (choice.kind === 'declined') return { name, own: null, decline: choice.decline, shared, price: null };
  const { x: speedDps, y: holdMs, cell } = choice;
  const outcome = outcomeAt(grid, cell);
  const price =
    shared && sharedCell !== null
      ? { ...priceOf(shared, outcome), room: { own: choice.plateau.room, shared: roomOf(grid, sharedCell) } }
      : null;
  return { name, own: { speedDps, holdMs, outcome }, decline: null, shared, price };
}

function outcomeAt(grid: GuardGrid, cell: number): GuardOutcome {
  const orNull = (value: number) => (Number.isNaN(value) ? null : value);
  return {
    strays: { k: grid.wrong.strays[cell]!, n: grid.sizes.strays },
    wanted: { k: grid.wrong.wanted[cell]!, n: grid.sizes.wanted },
    reversals: { k: grid.wrong.reversals[cell]!, n: grid.sizes.reversals },
    openShare: orNull(grid.openShare[cell]!),
    waitMs: orNull(grid.timesMs.waitMedianMs[cell]!),
  };
}

function roomOf(grid: GuardGrid, cell: number): number {
  return roomAt([...grid.xs], [...grid.ys], GUARD.cost(grid, 0), cell);
}

function priceOf(shared: GuardOutcome, own: GuardOutcome): Omit<Price, 'room'> {
  const less = (a: number | null, b: number | null) => (a === null || b === null ? null : a - b);
  return {
    wrong: shared.strays.k + shared.wanted.k - own.strays.k - own.wanted.k,
    reversals: shared.reversals.k - own.reversals.k,
    waitMs: less(shared.waitMs, own.waitMs),
    openShare: less(shared.openShare, own.openShare),
  };
}
