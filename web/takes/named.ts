import type { TakeContent } from '../../server/engine/kept/takeContent.ts';
import type { Candidate } from '../../server/engine/settings/candidate.ts';
import type { Named } from './found.ts';

/** Whether a take is fit to tune on: labels make no difference to signals. */
export function namedCheck({ signals }: TakeContent): Named {
  return { basis: { signals }, asked: 'check' };
}

/** How a setting fares on a take. */
export function namedTally(content: TakeContent, candidate: Candidate): Named {
  return { basis: content, asked: ['tally', candidate] };
}
