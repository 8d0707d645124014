import type { Candidate } from '../../server/engine/settings/candidate.ts';
import { PROBLEM_WORDS } from '../../server/engine/words/choose/problems.ts';
import { bothCandidates } from '../state/store.ts';

/** What A and B are: each with the guard that it has. */
export function TwoSettings() {
  const { a, b } = bothCandidates.value;
  const brief = ({ guard }: Candidate) => PROBLEM_WORDS.guard.setting(guard.speedDps, guard.holdMs);
  return (
    <p class="two-settings">
      <span class="quiet">Two candidate settings, side by side:</span>
      <span>
        <b>A</b> {brief(a)}
      </span>
      <span>
        <b>B</b> {brief(b)}
      </span>
    </p>
  );
}
