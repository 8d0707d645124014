import type { ButtonCandidate, Mapping } from '../ground/types.ts';
import { type ColumnSample, isTwoState, presentTexts } from '../layout/columnSample.ts';
import type { FileHead } from '../layout/fileHead.ts';

const OFFERED = 6;

/**
 * Columns that nobody took for a button and that may be one: they show two states or, in the part of the log that was
 * looked at, one of them throughout; or two words, in whatever language. Those that change come first.
 */
export function findButtonCandidates({ columns }: Mapping, heads: readonly FileHead[]): ButtonCandidate[] {
  const found = columns.flatMap((column): ButtonCandidate[] => {
    const { file, index, name } = column;
    const head = heads[file]!.columns[index]!;
    const isFree = column.role === 'ignored' || column.role === 'label';
    if (!isFree || !(isTwoState(head.sample) || isTwoWorded(head.sample))) return [];
    return [{ file, index, name, changes: head.sample.distinct.length > 1 }];
  });
  return found.sort((a, b) => Number(b.changes) - Number(a.changes)).slice(0, OFFERED);
}

/** Two texts that are no numbers and nothing else, such as "open" and "shut": it may be the states of a button. */
function isTwoWorded(sample: ColumnSample): boolean {
  const present = presentTexts(sample);
  return present.length === 2 && present.every((text) => Number.isNaN(Number(text)) && text.length <= 24);
}
