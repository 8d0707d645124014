import { useState } from 'preact/hooks';
import { exportCandidate, pickCandidate } from '../state/candidateFiles.ts';
import type { Slot } from '../state/model.ts';
import { candidates, dispatch, sight } from '../state/store.ts';
import { KeepDialog } from './kept/KeepDialog.tsx';

/** Which candidate is edited, the two-candidate commands, and candidates as files. */
export function CandidateBar() {
  const slot = sight.slot.value;
  const showB = sight.showB.value;
  const other: Slot = slot === 'a' ? 'b' : 'a';
  const name = slot.toUpperCase();
  const [isKept, setKept] = useState(false);
  return (
    <div class="candidate-bar" role="group" aria-label="Candidates">
      <span class="choices">
        {(['a', 'b'] as const).map((which) => (
          <button
            key={which}
            type="button"
            class="small"
            aria-pressed={slot === which}
            title={`Edit candidate ${which.toUpperCase()}`}
            onClick={() => dispatch({ type: 'slotChosen', slot: which })}
          >
            {which.toUpperCase()}
          </button>
        ))}
      </span>
      <label class="check">
        <input
          type="checkbox"
          checked={showB}
          onChange={(event) => dispatch({ type: 'secondShown', show: event.currentTarget.checked })}
        />
        show B
      </label>
      <button
        type="button"
        class="small"
        title={`Keep candidate ${name} as a setting, for a performer and a prop`}
        onClick={() => setKept(true)}
      >
        Keep {name}…
      </button>
      <details class="candidate-more">
        <summary>Copy, files</summary>
        <span class="candidate-files">
          <button
            type="button"
            class="small"
            title={`Copy candidate ${name} over ${other.toUpperCase()}`}
            onClick={() =>
              dispatch({ type: 'candidateReplaced', slot: other, candidate: candidates[slot].peek() })
            }
          >
            Copy to {other.toUpperCase()}
          </button>
          <button type="button" class="small" onClick={() => dispatch({ type: 'candidatesSwapped' })}>
            Swap
          </button>
          <button
            type="button"
            class="small"
            title={`Save candidate ${name} as a file, which the command line reads too`}
            onClick={() => exportCandidate(slot)}
          >
            Export {name}
          </button>
          <button
            type="button"
            class="small"
            title={`The candidate of a file takes the place of ${name}`}
            onClick={() => pickCandidate(slot)}
          >
            Import into {name}…
          </button>
        </span>
      </details>
      {isKept && <KeepDialog of={slot} onClose={() => setKept(false)} />}
    </div>
  );
}
