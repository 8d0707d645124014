import type { SweepGrid } from '../sweep/grid.ts';
import { ENOUGH_ROOM, findPlateau, type Plateau, type Rise, riseWithin } from '../sweep/plateau.ts';
import { errorsOf, leastOf } from './cost.ts';
import { type Decline, declineOn, noneGood } from './decline.ts';
import {
  type Evidence,
  type KOfN,
  type Problem,
  recordOf,
  sizeIn,
  type Weighing,
  wrongAt,
} from './problem.ts';

export interface Suggestion<Part extends string = string> {
  readonly kind: 'suggestion';
  readonly x: number;
  readonly y: number;
  readonly plateau: ChosenPlateau;
  /** Place of the suggestion in the grid. */
  readonly cell: number;
  readonly wrong: Readonly<Record<Part, KOfN>>;
  /** Fewest that any setting gets wrong. */
  readonly fewestWrong: number;
  /** Additional wrong events allowed within the margins: in each part, and over all that count singly. */
  readonly rises: Readonly<Record<Part, Rise>>;
  readonly rise: Rise;
  /** The grid's times there, and its open share; null where there is none. */
  readonly timesMs: Readonly<Record<string, number | null>>;
  readonly openShare: number | null;
}

export type Choice<Part extends string = string> =
  | Suggestion<Part>
  | { readonly kind: 'declined'; readonly decline: Decline };

/** The setting to choose, and how it compares with the best where that has next to no room. */
interface ChosenPlateau extends Plateau {
  /** Room of the best setting, where one more wrong is accepted for the sake of room; null where none is. */
  readonly tightRoom: number | null;
}

/** With less room than this the best setting stands on a knife's edge: an error of a sensor and a little of the hand's. */
const LEAST_ROOM = 0.1;

/**
 * The setting to choose on the best plateau, or why there is none.
 * @param grid  the sum over the takes that count. @param evidence  of all takes asked about.
 */
export function suggest<Part extends string, Own extends Evidence>(
  problem: Weighing<Part> & Pick<Problem<Part, never, never, never, Own, never>, 'decline'>,
  grid: SweepGrid<Part> | null,
  evidence: readonly Own[],
): Choice<Part> {
  const decline = declineOn(problem, evidence);
  if (decline !== null) return { kind: 'declined', decline };
  if (grid === null) throw new RangeError('there is evidence but no grid');
  const suggestion = suggestOn(problem, grid);
  const poor = noneGood(problem, suggestion, evidence);
  return poor === null ? suggestion : { kind: 'declined', decline: poor };
}

/** The setting to choose, whatever it is worth, with what it comes to. */
export function suggestOn<Part extends string>(
  problem: Weighing<Part>,
  grid: SweepGrid<Part> & { readonly openShare?: Float64Array },
): Suggestion<Part> {
  const { plateau, cell } = plateauOf(problem, grid);
  const parts = Object.keys(problem.sizeOf) as Part[];
  const errors = errorsOf(problem, grid);
  const orNull = (value = Number.NaN) => (Number.isNaN(value) ? null : value);
  return {
    kind: 'suggestion',
    x: plateau.x,
    y: plateau.y,
    plateau,
    cell,
    wrong: recordOf(parts, (part) => ({ k: wrongAt(grid, part, cell), n: sizeIn(problem, grid, part) })),
    fewestWrong: leastOf(errors),
    rises: recordOf(parts, (part) => riseWithin(plateau, grid.ys.length, grid.wrong[part])),
    rise: riseWithin(plateau, grid.ys.length, errors),
    timesMs: recordOf(Object.keys(grid.timesMs), (name) => orNull(grid.timesMs[name]![cell])),
    openShare: orNull(grid.openShare?.[cell]),
  };
}

/**
 * The setting to choose of the best ones, see `findPlateau`. Where a problem relaxes and the best has next to no room, one
 * odd gesture or fire has pushed it there: then one more wrong is accepted, if that gives enough room.
 */
export function plateauOf<Part extends string>(
  problem: Weighing<Part>,
  grid: SweepGrid<Part>,
): { readonly plateau: ChosenPlateau; readonly cell: number } {
  const { better, ends } = problem;
  const found = (slack: number) =>
    // Whatever the labels, some setting has a finite cost.
    findPlateau([...grid.xs], [...grid.ys], problem.cost(grid, slack), better, ends)!;
  const best = found(0);
  const wider = problem.relaxes && best.room < LEAST_ROOM ? found(1) : best;
  const plateau =
    wider !== best && wider.room >= ENOUGH_ROOM
      ? { ...wider, tightRoom: best.room }
      : { ...best, tightRoom: null };
  return { plateau, cell: plateau.xIndex * grid.ys.length + plateau.yIndex };
}
