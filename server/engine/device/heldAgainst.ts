import type { LoggedDecisions } from '../base/decisions.ts';
import type { Press } from '../base/log.ts';
import type { Signals } from '../motion/signals.ts';
import type { Candidate } from '../settings/candidate.ts';
import { type Agreement, compareDecisions } from './agreement.ts';
import { benchDecisions, type Part } from './decisions.ts';
import { loggedOnGrid } from './logged.ts';

/**
 * How far a prop's own decisions are those that a candidate makes on the bench.
 * @param signals  the candidate's, with the twist as the prop comes to it (`twistOnProp`).
 * @param presses  of the power button. @param part  keeps what stays the same
 */
export function heldAgainst(
  logged: LoggedDecisions,
  signals: Signals,
  presses: readonly Press[],
  candidate: Candidate,
  part?: Part,
): Agreement {
  const bench = benchDecisions(signals, presses, candidate, part);
  const downsUs = presses.map(({ downUs }) => downUs);
  return compareDecisions(bench, loggedOnGrid(logged, signals, presses), signals, downsUs);
}
