import { hasStamps } from './clock.ts';
import type { ReadFacts } from './input.ts';
import type { Line } from './line.ts';

/** One mended row in two thousand changes no score; more says that the logger errs by habit. */
const MENDED_GOOD_SHARE = 5e-4;
/** With a tenth of the rows unusable, the rest is a chance selection. */
const BAD_LEAST_SHARE = 0.1;

/** Rows that were left out or put in order while reading. */
export interface RowsLine extends Line<'rows'> {
  readonly rows: number;
  /** Including the rows left out. */
  readonly all: number;
  readonly duplicates: number;
  readonly backwards: number;
  readonly zeroRows: number;
  readonly badRowCount: number;
  readonly hasStamps: boolean;
  /** Rows of zeros are the only fault that is more than occasional. */
  readonly isOnlyZeros: boolean;
}

export function checkRows(facts: ReadFacts): RowsLine {
  const { rows, duplicates, backwards, badRowCount, zeroRows = 0 } = facts;
  const all = rows + duplicates + badRowCount + zeroRows;
  const mended = duplicates + backwards + badRowCount;
  const counts = { rows, all, duplicates, backwards, zeroRows, badRowCount };
  const isOnlyZeros = zeroRows > 0 && mended <= MENDED_GOOD_SHARE * all;
  const line = { id: 'rows', ...counts, hasStamps: hasStamps(facts), isOnlyZeros } as const;
  if (mended + zeroRows === 0) return { ...line, state: 'pass' };
  if (badRowCount >= BAD_LEAST_SHARE * all) return { ...line, state: 'fail' };
  return { ...line, state: mended + zeroRows <= MENDED_GOOD_SHARE * all ? 'pass' : 'caution' };
}
