import { useState } from 'preact/hooks';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { keptAs } from '../../state/keptSettings.ts';
import type { Slot } from '../../state/model.ts';
import { bothCandidates, dispatch, sight } from '../../state/store.ts';
import { KeepDialog } from '../kept/KeepDialog.tsx';
import { isTaken, takeSuggestion } from './takeSuggestion.ts';

const SLOTS: readonly Slot[] = ['b', 'a'];

/** The one step to take next with a suggestion, large: take it into a candidate, keep that one, show what is kept. */
export function TakeIt({ part }: { readonly part: Partial<Candidate> }) {
  const candidates = bothCandidates.value;
  const [isAsked, setAsked] = useState<Slot | null>(null);
  const taken = SLOTS.filter((slot) => isTaken(candidates[slot], part));
  const has = taken.find((slot) => slot === sight.slot.value) ?? taken[0];
  return (
    <p class="take-it">
      {has && <KeepOrShow slot={has} onKeep={() => setAsked(has)} />}
      {SLOTS.filter((slot) => !taken.includes(slot)).map((slot) => (
        <button
          key={slot}
          type="button"
          class={slot === 'b' && has === undefined ? 'main' : ''}
          onClick={() => takeSuggestion(slot, part)}
        >
          Take it into {slot.toUpperCase()}
        </button>
      ))}
      {has && (
        <button type="button" onClick={() => dispatch({ type: 'viewChosen', view: 'tune' })}>
          See it in Tune
        </button>
      )}
      {isAsked && <KeepDialog of={isAsked} onClose={() => setAsked(null)} />}
    </p>
  );
}

/** A candidate that has the suggestion is kept; one that is kept is shown. */
function KeepOrShow({ slot, onKeep }: { readonly slot: Slot; onKeep(): void }) {
  const kept = keptAs(bothCandidates.value[slot]);
  return kept ? (
    <button type="button" class="main" onClick={() => dispatch({ type: 'viewChosen', view: 'kept' })}>
      Kept as “{kept.name}”: show it
    </button>
  ) : (
    <button
      type="button"
      class="main"
      title={`Candidate ${slot.toUpperCase()} has the suggestion`}
      onClick={onKeep}
    >
      Keep {slot.toUpperCase()}…
    </button>
  );
}
