import { hasStamps } from './clock.ts';
import { counted, percent } from './figures.ts';
import type { ReadFacts } from './input.ts';
import { type CheckLine, cautions, fails, passes } from './line.ts';

/** One row in two thousand mended costs no score; more says that the logger errs by habit. */
export const MENDED_GOOD_SHARE = 5e-4;
/** With a tenth of the rows unusable, what is left is a chance selection. */
export const BAD_LEAST_SHARE = 0.1;

/** Rows that were left out or put in order while reading. */
export function checkRows(facts: ReadFacts): CheckLine {
  const { rows, duplicates, backwards, badRowCount, zeroRows = 0 } = facts;
  const all = rows + duplicates + badRowCount + zeroRows;
  const found = [
    duplicates > 0
      ? `${counted(duplicates, 'row')} with a stamp that was there already (${percent(duplicates / all)}), left out`
      : '',
    backwards > 0 ? `${counted(backwards, 'stamp')} out of order` : '',
    zeroRows > 0
      ? `${counted(zeroRows, 'row')} of zeros alone (${percent(zeroRows / all)}), left out: nothing was measured there`
      : '',
    badRowCount > 0 ? `${counted(badRowCount, 'row')} unreadable (${percent(badRowCount / all)})` : '',
  ].filter((part) => part !== '');
  if (found.length === 0) {
    const stamps = hasStamps(facts) ? 'no stamp repeated or out of order' : 'the log has no stamps';
    return passes('rows', `All ${rows} rows read; ${stamps}.`);
  }
  const finding = `${found.join('; ')}.`;
  if (badRowCount >= BAD_LEAST_SHARE * all)
    return fails(
      'rows',
      finding,
      'Look at the rows named in the preview: wrong columns, or a damaged file.',
      'the whole log',
    );
  if (duplicates + backwards + badRowCount + zeroRows <= MENDED_GOOD_SHARE * all)
    return passes('rows', finding);
  if (duplicates + backwards + badRowCount <= MENDED_GOOD_SHARE * all)
    return cautions(
      'rows',
      finding,
      'Look at the logger: zeros are what it writes when the sensor does not answer, or behind the end of a take.',
      'what lies next to the rows of zeros',
    );
  return cautions(
    'rows',
    finding,
    'Look at the logger: rows written twice or late mostly mean that its writing falls behind.',
    'single moments: a row left out may have held a short peak',
  );
}
