import type { TakeReversal } from '../../sweep/jobs.ts';

export type SortKey = 'title' | 'time' | 'lowest' | 'turn' | 'dip' | 'hold' | 'guard';

/** A reversal that no hold helps needs more than any other. */
const VALUES: Readonly<Record<Exclude<SortKey, 'title'>, (row: TakeReversal) => number>> = {
  time: (row) => row.timeUs,
  lowest: (row) => row.lowestDps,
  turn: (row) => row.turnDeg,
  dip: (row) => row.dipMs ?? Infinity,
  hold: (row) => row.holdNeededMs ?? Infinity,
  guard: (row) => row.holdNeededMs ?? Infinity,
};

/** The rows in the order of a column; equal ones by take and time. Leaves `rows` as they are. */
export function sortReversals(
  rows: readonly TakeReversal[],
  key: SortKey,
  isRising: boolean,
): TakeReversal[] {
  const sign = isRising ? 1 : -1;
  return [...rows].sort((a, b) => {
    const byKey = key === 'title' ? a.title.localeCompare(b.title) : compare(VALUES[key](a), VALUES[key](b));
    return sign * byKey || a.title.localeCompare(b.title) || a.timeUs - b.timeUs;
  });
}

/** Infinity is as large as Infinity, which their difference does not tell. */
function compare(a: number, b: number): number {
  return a === b ? 0 : a < b ? -1 : 1;
}
