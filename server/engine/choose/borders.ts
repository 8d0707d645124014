import type { SweepGrid } from '../sweep/grid.ts';
import { stepsOf } from './cost.ts';
import { type InTake, recordOf, sizeIn, type Weighing, type WrongEvent, wrongAt } from './problem.ts';
import type { Suggestion } from './suggest.ts';

/** A side of the plateau: below or above it along one setting, with the other as suggested. */
export interface Side {
  readonly axis: 'x' | 'y';
  readonly by: -1 | 1;
}

/** What lies beyond one side of the plateau. */
export interface Border<Part extends string = string> extends Side {
  /** The last value that is as good; the first that is worse is `beyond`, null where nothing is tried there. */
  readonly last: number;
  readonly beyond: number | null;
  /** What gets worse there (counts can also fall: another part then rises by more). */
  readonly worse: Readonly<Record<Part, number>>;
}

/** What goes wrong beyond a border and is right at the suggestion. */
export type Lost<Part extends string = string> = WrongEvent<Part> & Side & InTake;

export function bordersOf<Part extends string>(
  problem: Weighing<Part>,
  { plateau, cell }: Suggestion<Part>,
  grid: SweepGrid<Part>,
): Border<Part>[] {
  const parts = Object.keys(problem.sizeOf) as Part[];
  const { xMargin, yMargin } = plateau;
  const border = (axis: 'x' | 'y', by: -1 | 1): Border<Part> => {
    const { low, high } = axis === 'x' ? xMargin : yMargin;
    const last = by < 0 ? low : high;
    const values = axis === 'x' ? grid.xs : grid.ys;
    const index = values.indexOf(last) + by;
    const beyond = values[index];
    if (beyond === undefined || beyond < (problem[axis].least ?? -Infinity))
      return { axis, by, last, beyond: null, worse: recordOf(parts, () => 0) };
    const there = cell + (axis === 'x' ? (index - plateau.xIndex) * grid.ys.length : index - plateau.yIndex);
    return {
      axis,
      by,
      last,
      beyond,
      worse: recordOf(parts, (part) => moreAt(problem, grid, part, there, cell)),
    };
  };
  return [border('x', -1), border('x', 1), border('y', -1), border('y', 1)];
}

/** Where a part counts in steps, only a whole one makes a setting worse; a few more within one are no reason. */
function moreAt<Part extends string>(
  problem: Weighing<Part>,
  grid: SweepGrid<Part>,
  part: Part,
  there: number,
  here: number,
): number {
  const [more, less] = [wrongAt(grid, part, there), wrongAt(grid, part, here)];
  const size = sizeIn(problem, grid, part);
  return problem.steps.includes(part) && stepsOf(more, size) <= stepsOf(less, size) ? 0 : more - less;
}
