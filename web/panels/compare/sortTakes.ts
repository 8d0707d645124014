import { badnessOf, SCORE_COLUMNS } from '../../../server/engine/compare/cells.ts';
import type { ComparedTake } from '../../compare/comparison.ts';
import type { Slot } from '../../state/model.ts';

export interface Sort {
  readonly by: string | null;
  /** Worst first, or titles from Z. */
  readonly isDown: boolean;
}

export function nextSort(sort: Sort, by: string): Sort {
  if (sort.by !== by) return { by, isDown: by !== 'title' };
  return { by, isDown: !sort.isDown };
}

/** Takes with nothing to score stand last, whichever way. */
export function sortTakes(
  takes: readonly ComparedTake[],
  { by, isDown }: Sort,
  slot: Slot,
): readonly ComparedTake[] {
  if (by === null) return takes;
  const sign = isDown ? -1 : 1;
  if (by === 'title') return [...takes].sort((a, b) => sign * a.title.localeCompare(b.title));
  const column = SCORE_COLUMNS.find(({ id }) => id === by)!;
  const badness = (take: ComparedTake): number => {
    const cell = take[slot] && column.read(take[slot]);
    return cell === null ? Number.NaN : badnessOf(cell);
  };
  return [...takes].sort((a, b) => {
    const [x, y] = [badness(a), badness(b)];
    if (Number.isNaN(x) || Number.isNaN(y)) return Number(Number.isNaN(x)) - Number(Number.isNaN(y));
    return sign * (x - y);
  });
}
