import { clopperPearsonInterval } from '../../statistics/clopperPearson.ts';
import type { Wrong } from '../claim.ts';
import type { Outcome } from '../cost.ts';
import { checkHeldOut, type GuardHeldOut } from '../heldOut.ts';
import { type Choice, suggestOn } from '../suggest.ts';
import type { GuardGrid } from '../takeSweep.ts';
import { declineByMotion, noneGood } from './motionDecline.ts';
import type { MotionEvidence } from './motionPart.ts';

/**
 * The same choice as by presses, with spins for stray presses and stops for wanted ones, or why there is none. Its
 * intervals are exact ones, whose units are spins and stops: they hold in at least 95 of 100.
 * @param grid  the sum over the takes that count. @param evidence  of all takes asked about.
 */
export function suggestByMotion(grid: GuardGrid | null, evidence: readonly MotionEvidence[]): Choice {
  const decline = declineByMotion(evidence);
  if (decline !== null) return { kind: 'declined', decline };
  if (grid === null) throw new RangeError('there is evidence but no grid');
  const found = suggestOn(grid);
  const bad = noneGood(found);
  if (bad !== null) return { kind: 'declined', decline: bad };
  const { strayLetThrough, wantedRefused } = found;
  return { ...found, strayLetThrough: exact(strayLetThrough), wantedRefused: exact(wantedRefused) };
}

function exact(wrong: Wrong): Wrong {
  return { ...wrong, interval: clopperPearsonInterval(wrong.k, wrong.n) };
}

/** The choice by motion on all groups but one, scored on the spins and stops of that one. */
export function checkHeldOutByMotion(
  parts: readonly { readonly key: string; readonly name: string; readonly grid: Outcome }[],
): GuardHeldOut | null {
  return checkHeldOut(parts, {
    strays: { one: 'spin', several: 'spins' },
    wanted: { one: 'stop', several: 'stops' },
  });
}
