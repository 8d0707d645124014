import { many } from '../base/counted.ts';
import { type Decline, LEAST_PRESSES, unfit } from './decline.ts';
import type { SwingEvidence } from './swingEvidence.ts';

/** Fewer swings than this tell nothing, for the same reason as with presses. */
export const LEAST_SWINGS = LEAST_PRESSES;

const RECORD_SWINGS = 'Record single swings with a full stop between, slow ones and fast ones.';

/** The rule of evidence for whatever offers a setting of the deflection; see `declineOn`. null where nothing speaks against it. */
export function declineOnSwings(takes: readonly SwingEvidence[]): Decline | null {
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
