import type { DeclineKind, Evidence, Problem, Weighing } from '../../../server/engine/choose/problem.ts';
import { suggest } from '../../../server/engine/choose/suggest.ts';
import type { SweepGrid } from '../../../server/engine/sweep/grid.ts';
import { type DeclineWords, declineWords } from '../../../server/engine/words/choose/declines.ts';

/** Why nothing is suggested, and in what words; null where something is. */
export function declined<Part extends string, Own extends Evidence>(
  problem: Weighing<Part> & Pick<Problem<Part, never, never, never, Own, never>, 'decline'>,
  grid: SweepGrid<Part> | null,
  evidence: readonly Own[],
): (DeclineWords & { readonly kind: DeclineKind }) | null {
  const choice = suggest(problem, grid, evidence);
  if (choice.kind === 'suggestion') return null;
  return { kind: choice.decline.kind, ...declineWords(choice.decline) };
}
