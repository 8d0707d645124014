import { readName } from '../ground/names.ts';
import { isMissing, isNumber } from '../text/cells.ts';
import type { Head } from '../text/dialect.ts';

/** Enough cells of a line to know what it holds. */
const CELLS_LOOKED_AT = 50;
/** More channels than any logger writes. */
const LINES_AT_MOST = 200;
const TELLING_AT_LEAST = 3;

/**
 * The names of the channels where a table lies on its side: each line holds one channel, its name in front. Null where it
 * does not. One line alone tells where it is so long that no other fits beside it.
 */
export function channelsOnSide({ records, dialect }: Head): string[] | null {
  if (records.length > LINES_AT_MOST) return null;
  const names = records.map(({ fields }) => fields[0]?.trim() ?? '');
  if (new Set(names).size < names.length || names.some((name) => isNumber(name, dialect.decimal)))
    return null;
  const isLine = ({ fields }: Head['records'][number]) => {
    const cells = fields.slice(1, 1 + CELLS_LOOKED_AT);
    return cells.length > 1 && cells.every((cell) => isMissing(cell) || isNumber(cell, dialect.decimal));
  };
  const telling = names.filter((name) => /^(gyro|accel|time)$/.test(readName(name).kind));
  const isTold = telling.length >= Math.min(TELLING_AT_LEAST, records.length);
  return isTold && records.every(isLine) ? names : null;
}
