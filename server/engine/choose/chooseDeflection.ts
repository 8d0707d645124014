import type { DeflectionSweep } from '../sweep/deflectionSweep.ts';
import { type Decline, LEAST_PRESSES, unfit } from './decline.ts';
import { type DeflectionSuggestion, suggestDeflection } from './deflectionChoice.ts';
import { MOST_WRONG_SHARE } from './suggest.ts';
import type { SwingEvidence } from './swingEvidence.ts';
import { many } from './words.ts';

export type DeflectionChoice =
  | DeflectionSuggestion
  | ({ readonly kind: 'declined' } & { readonly decline: Decline });

/** Fewer swings than this tell nothing, for the same reason as with presses. */
export const LEAST_SWINGS = LEAST_PRESSES;

const RECORD_SWINGS = 'Record single swings with a full stop between, slow ones and fast ones.';

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
  const poor = noneGood(suggestion);
  return poor === null ? suggestion : { kind: 'declined', decline: poor };
}

function declineOnSwings(takes: readonly SwingEvidence[]): Decline | null {
  const fit = takes.filter((take) => take.unfit === null);
  if (fit.length === 0) return unfit(takes);
  const swings = fit.reduce((sum, take) => sum + take.swings, 0);
  if (swings === 0)
    return {
      kind: 'noSwings',
      text: `There is no swing in ${takes.length === 1 ? 'this take' : 'these takes'}.`,
      advice: [RECORD_SWINGS],
    };
  return contradictory(fit) ?? (swings < LEAST_SWINGS ? tooFew(swings) : null);
}

function tooFew(swings: number): Decline {
  const lack = LEAST_SWINGS - swings;
  return {
    kind: 'tooFew',
    text: `${many(swings, 'swing is', 'swings are')} too few to tell settings apart: it takes ${LEAST_SWINGS}.`,
    advice: [`Record ${many(lack, 'more swing', 'more swings')} or more.`, RECORD_SWINGS],
  };
}

function contradictory(takes: readonly SwingEvidence[]): Decline | null {
  const bad = takes.filter((take) => take.contradictionsUs.length > 0);
  if (bad.length === 0) return null;
  const count = bad.reduce((sum, take) => sum + take.contradictionsUs.length, 0);
  return {
    kind: 'contradictory',
    text: `${many(count, 'labelled swing lies', 'labelled swings lie')} where the labels say that the blade is still, or that there is none.`,
    advice: bad.map(({ title, contradictionsUs }) => {
      const when = contradictionsUs.map((us) => `${(us / 1e6).toFixed(1)} s`).join(', ');
      return `${title}: decide on the ${contradictionsUs.length === 1 ? 'swing' : 'swings'} at ${when}.`;
    }),
  };
}

function noneGood({ missed, twice, outside, wrong }: DeflectionSuggestion): Decline | null {
  const { n } = wrong;
  if (wrong.k + outside <= MOST_WRONG_SHARE * n) return null;
  return {
    kind: 'noneGood',
    text: `No setting does well: the best of all still misses ${missed.k} of ${n} swings, fires twice or more in ${twice.k}, and ${many(outside, 'time', 'times')} outside any swing.`,
    advice: [
      'Look at one performer’s takes at a time: a gentle swing of one may be slower than the pauses of another.',
      'Check the swings in Tune: confirm those that should deflect, and say of the others that they are none.',
      'The rest time and the confirmation of the candidate under edit hold for the whole map: try others.',
    ],
  };
}
