import type { Candidate } from '../../server/engine/settings/candidate.ts';

/** All of a candidate that the guard's grid depends on: the rules of the button as well, and whatever is added later. */
export function gridBasisOf({ smoothing, guard }: Candidate): unknown {
  const { speedDps: _x, holdMs: _y, ...others } = guard;
  return [smoothing, others];
}
