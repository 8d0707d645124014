import type { Cell } from '../../../server/engine/compare/cells.ts';
import { percent, percentRange } from '../../../server/engine/words/count.ts';

/** A cell in as few characters as say it. */
export function cellText(cell: Cell): string {
  switch (cell.kind) {
    case 'count':
      return `${cell.k}/${cell.n}`;
    case 'share':
      return percent(cell.share, 1);
    case 'ms':
      return `${cell.ms.toFixed(0)} ms`;
    case 'number':
      return String(cell.n);
  }
}

/** Whether a cell counts things that went wrong, and some did. */
export function isBad(cell: Cell): boolean {
  return (cell.kind === 'count' && cell.k > 0) || (cell.kind === 'number' && cell.n > 0);
}

/** The meaning of a cell, in a sentence; `says` is what the column counts. */
export function cellTitle(cell: Cell, says: string): string {
  if (cell.kind !== 'count' || !cell.interval) return says;
  return `${says}; about 95 %: ${percentRange(cell.interval)}`;
}
