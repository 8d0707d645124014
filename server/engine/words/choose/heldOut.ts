import { LEAST_EVENTS } from '../../choose/decline.ts';
import type { Fold, HeldOut } from '../../choose/leaveOut.ts';
import type { ProblemKind } from '../../choose/problem.ts';
import { counted } from '../count.ts';
import { PROBLEM_WORDS } from './problems.ts';

/** A count of what is left out: of some, any but 0 is wrong; some are counted of nothing. */
export interface HeldColumn {
  readonly part: string;
  /** What is counted. */
  readonly name: string;
  readonly isBad?: boolean;
  readonly isPlainCount?: boolean;
}

/** What goes wrong in what is left out. */
export function wrongIn(fold: Fold, columns: readonly HeldColumn[]): number {
  return columns.reduce((sum, { part, isBad }) => sum + (isBad ? fold.wrong[part]!.k : 0), 0);
}

/** Why the others of a fold could not decide. */
export function lackText(kind: ProblemKind, { lack }: Pick<Fold, 'lack'>): string {
  if (lack === null) return '';
  const { one, several } = PROBLEM_WORDS[kind].needs[lack.size]!;
  if (lack.have === 0) return `the others hold no ${one} to choose by`;
  return `the others hold ${counted(lack.have, one, several)}, too few to choose by: it takes ${LEAST_EVENTS}`;
}

/** What the table comes to: does a choice hold for what it was not made from? Of what is not wrong in itself, what is left. */
export function heldWords(kind: ProblemKind, held: HeldOut, columns: readonly HeldColumn[]): string {
  const { worst } = held;
  if (worst === null) return '';
  const wrong = wrongIn(worst, columns);
  if (wrong > 0)
    return `Chosen without ${worst.name}, the setting gets ${wrong} wrong there: what suits the others need not suit one that it has not seen.`;
  const unseen = columns.filter(
    ({ part, isBad, isPlainCount }) => isBad && !isPlainCount && held.wrong[part]!.n === 0,
  );
  if (unseen.length > 0)
    return `No choice was tried on ${unseen.map(({ name }) => name).join(' and ')}: leaving them out leaves nothing to choose by.`;
  const left = columns.filter(({ part, isBad }) => !isBad && worst.wrong[part]!.k > 0);
  if (left.length === 0) return 'What was chosen without one held for that one, each time.';
  const most = left.map(({ part, name }) => `${worst.wrong[part]!.k} of ${worst.wrong[part]!.n} ${name}`);
  return `What was chosen without one got no ${PROBLEM_WORDS[kind].unit} of that one wrong, each time. In ${worst.name}, left out, ${most.join(' and ')} stay open: the most of any.`;
}
