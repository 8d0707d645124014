import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { bothCandidates } from '../../state/store.ts';
import { isTaken, takeSuggestion } from './takeSuggestion.ts';

/** Puts the suggested settings into a candidate. */
export function TakeIt({ part }: { readonly part: Partial<Candidate> }) {
  const candidates = bothCandidates.value;
  return (
    <p class="take-it">
      {(['b', 'a'] as const).map((slot) => {
        const taken = isTaken(candidates[slot], part);
        return (
          <button
            key={slot}
            type="button"
            class={slot === 'b' ? 'main' : ''}
            disabled={taken}
            onClick={() => takeSuggestion(slot, part)}
          >
            {taken ? `Candidate ${slot.toUpperCase()} has it` : `Take it into ${slot.toUpperCase()}`}
          </button>
        );
      })}
    </p>
  );
}
