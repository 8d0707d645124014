import { many } from '../base/counted.ts';
import type { DeflectionSweep } from '../sweep/deflectionSweep.ts';
import type { Decline } from './decline.ts';
import { areOfSeveral, ONE_AT_A_TIME } from './decline.ts';
import { type DeflectionSuggestion, suggestDeflection } from './deflectionChoice.ts';
import { MOST_WRONG_SHARE } from './suggest.ts';
import { declineOnSwings } from './swingDecline.ts';
import type { SwingEvidence } from './swingEvidence.ts';

export type DeflectionChoice =
  | DeflectionSuggestion
  | ({ readonly kind: 'declined' } & { readonly decline: Decline });

/**
 * The most central point of the best plateau, or why there is none.
 * @param grid  the sum over the takes that are fit. @param evidence  of all takes asked about.
 */
export function chooseDeflection(
  grid: DeflectionSweep | null,
  evidence: readonly SwingEvidence[],
): DeflectionChoice {
  const decline = declineOnSwings(evidence);
  if (decline !== null) return { kind: 'declined', decline };
  const suggestion = grid === null ? null : suggestDeflection(grid);
  if (suggestion === null) throw new RangeError('there are swings but no grid over their speeds');
  const poor = noneGood(suggestion, evidence);
  return poor === null ? suggestion : { kind: 'declined', decline: poor };
}

function noneGood(
  { missed, twice, outside, wrong }: DeflectionSuggestion,
  evidence: readonly SwingEvidence[],
): Decline | null {
  const { n } = wrong;
  if (wrong.k + outside <= MOST_WRONG_SHARE * n) return null;
  return {
    kind: 'noneGood',
    text: `No setting does well: the best of all still misses ${missed.k} of ${n} swings, fires twice or more in ${twice.k}, and ${many(outside, 'time', 'times')} outside any swing.`,
    advice: [
      ...(areOfSeveral(evidence) ? [ONE_AT_A_TIME] : []),
      'Check the swings in Tune: confirm those that should deflect, and say of the others that they are none.',
      'The rest time and the confirmation of the candidate under edit hold for the whole map: try others.',
    ],
  };
}
