import { useState } from 'preact/hooks';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import type { Slot } from '../../state/model.ts';
import { bothCandidates } from '../../state/store.ts';
import { KeepDialog } from '../kept/KeepDialog.tsx';
import { isTaken, takeSuggestion } from './takeSuggestion.ts';

/** Puts the suggested settings into a candidate; one that has them can be kept. */
export function TakeIt({ part }: { readonly part: Partial<Candidate> }) {
  const candidates = bothCandidates.value;
  const [kept, setKept] = useState<Slot | null>(null);
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
      {(['b', 'a'] as const)
        .filter((slot) => isTaken(candidates[slot], part))
        .map((slot) => (
          <button key={slot} type="button" class="main" onClick={() => setKept(slot)}>
            Keep {slot.toUpperCase()}…
          </button>
        ))}
      {kept && <KeepDialog of={kept} onClose={() => setKept(null)} />}
    </p>
  );
}
