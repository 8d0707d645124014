import { many } from '../../base/counted.ts';
import { type Decline, LEAST_PRESSES, unfit } from '../decline.ts';
import { MOST_WRONG_SHARE, type Suggestion } from '../suggest.ts';
import type { MotionEvidence } from './motionPart.ts';

/** As few spins or stops tell as little as presses do. */
export const LEAST_UNITS = LEAST_PRESSES;

const RECORD_SPINS =
  'Spin as you do on stage, slow and fast, and come to a full stop of a second or more after each spin.';

/** What speaks against choosing by motion, before any setting is looked at; null where nothing does. */
export function declineByMotion(takes: readonly MotionEvidence[]): Decline | null {
  const fit = takes.filter((take) => take.unfit === null);
  if (fit.length === 0) return unfit(takes);
  const counted = fit.filter((take) => take.isConfirmed);
  const sum = (of: readonly MotionEvidence[], what: 'spins' | 'stops') =>
    of.reduce((total, take) => total + take[what], 0);
  const [spins, stops] = [sum(counted, 'spins'), sum(counted, 'stops')];
  if (spins + stops === 0) return nothingConfirmed(fit);
  if (spins >= LEAST_UNITS && stops >= LEAST_UNITS) return null;
  const advice = confirmAdvice(fit);
  if (spins < LEAST_UNITS)
    advice.push(`Record ${many(LEAST_UNITS - spins, 'more spin', 'more spins')} or more. ${RECORD_SPINS}`);
  if (stops < LEAST_UNITS)
    advice.push(
      `Record ${many(LEAST_UNITS - stops, 'more stop', 'more stops')} or more: hold the blade for a second or more after a swing or spin.`,
    );
  return {
    kind: 'tooFew',
    text: `${many(spins, 'confirmed spin', 'confirmed spins')} and ${many(stops, 'confirmed stop', 'confirmed stops')} are too few to tell settings apart: it takes ${LEAST_UNITS} of each.`,
    advice,
  };
}

function nothingConfirmed(fit: readonly MotionEvidence[]): Decline {
  const sum = (what: 'spins' | 'stops') => fit.reduce((total, { waiting }) => total + waiting[what], 0);
  const [spins, stops] = [sum('spins'), sum('stops')];
  if (spins + stops === 0)
    return {
      kind: 'noMotion',
      text: 'There is no spin here, and no stop after a swing.',
      advice: [RECORD_SPINS],
    };
  return {
    kind: 'unconfirmed',
    text: `The program proposes ${many(spins, 'spin', 'spins')} and ${many(stops, 'stop', 'stops')} here. Nobody has confirmed any of them, so the map may be looked at, but nothing is suggested.`,
    advice: confirmAdvice(fit),
  };
}

/** A sentence for each take with something to confirm. */
function confirmAdvice(takes: readonly MotionEvidence[]): string[] {
  return takes.flatMap(({ title, waiting: { spins, stops } }) => {
    if (spins + stops === 0) return [];
    const what = [
      ...(spins > 0 ? [many(spins, 'proposed spin', 'proposed spins')] : []),
      ...(stops > 0 ? [many(stops, 'proposed stop', 'proposed stops')] : []),
    ];
    const how = spins > 0 ? 'confirm spins and swings there' : 'confirm its swings there';
    return [`${title}: ${what.join(' and ')}. Open it in Tune, look through them under Labels, and ${how}.`];
  });
}

/** What speaks against the best of all settings; null where nothing does. */
export function noneGood({ strayLetThrough: spins, wantedRefused: stops }: Suggestion): Decline | null {
  const isBad = ({ k, n }: { readonly k: number; readonly n: number }) => k > MOST_WRONG_SHARE * n;
  if (!isBad(spins) && !isBad(stops)) return null;
  return {
    kind: 'noneGood',
    text: `No speed guard fits this motion: the best of all settings still leaves ${spins.k} of ${many(spins.n, 'spin', 'spins')} open for more than 1 in 20 of the time, and is still closed when a press is wanted after ${stops.k} of ${many(stops.n, 'stop', 'stops')}.`,
    advice: [
      'Look at the spins’ labels: one that begins before the blade moves, or ends after its stop, can never be guarded throughout.',
      'If they are right, ask for more patience after a stop, or look at one performer at a time.',
    ],
  };
}
