import type { TakeEvidence } from '../../../server/engine/choose/evidence.ts';
import { DETECTORS } from '../../../server/engine/detect/detectors.ts';
import type { Candidate } from '../../../server/engine/settings/candidate.ts';
import { unfitText } from '../../../server/engine/words/choose/unfit.ts';
import { standingOf } from '../../state/fitness.ts';
import { type Slot, SWEPT_MAPS } from '../../state/model.ts';
import { bothCandidates, sight } from '../../state/store.ts';
import { sweptMap, takesInScope } from '../../state/takeInputs.ts';

/** Which of the maps is shown. */
export function MapTabs() {
  return (
    <span class="choices" role="group" aria-label="What to sweep">
      {SWEPT_MAPS.map((which) => (
        <button
          key={which}
          type="button"
          class="small"
          aria-pressed={sweptMap.value === which}
          onClick={() => (sweptMap.value = which)}
        >
          {DETECTORS[which].name}
        </button>
      ))}
    </span>
  );
}

/** The map is that of the candidate under edit; the other one may play by other rules. */
export function OtherRules(props: { readonly what: string; rulesOf(candidate: Candidate): unknown }) {
  const slot = sight.slot.value;
  const showB = sight.showB.value;
  const candidates = bothCandidates.value;
  const other = slot === 'a' ? 'b' : 'a';
  const rules = (which: Slot) => JSON.stringify(props.rulesOf(candidates[which]));
  if ((other === 'b' && !showB) || rules(slot) === rules(other)) return null;
  return (
    <p class="caution-line">
      The map is drawn with the {props.what} of candidate {slot.toUpperCase()}; those of {other.toUpperCase()}{' '}
      differ, so its point stands on a map that is not quite its own.
    </p>
  );
}

/** In place of a map: nothing is swept yet, or nothing of it can be drawn. */
export function NoMap({ evidence }: { readonly evidence: readonly Pick<TakeEvidence, 'title' | 'unfit'>[] }) {
  const [first, ...others] = evidence;
  const text =
    first === undefined
      ? 'Reading the takes…'
      : others.length > 0
        ? `No map: none of the ${evidence.length} takes read so far is fit to sweep.`
        : `No map. ${first.title}: ${first.unfit ? unfitText(first.unfit) : ''}.`;
  return <p class="card map-card map-empty quiet">{text}</p>;
}

/** Nothing is suggested before the signals of all takes are checked. */
export function areJudged(): boolean {
  return takesInScope.value.every((take) => standingOf(take).kind !== 'pending');
}
