import { useState } from 'preact/hooks';
import type { TakeSummary } from '../../../server/http/schemas.ts';
import { judge } from '../../state/judging.ts';
import { keptAs, loadSetting } from '../../state/keptSettings.ts';
import { ownSetting } from '../../state/settingChanges.ts';
import { chosenTakeId, dispatch, editedCandidate, sight } from '../../state/store.ts';
import { isSuggested } from '../../state/suggested.ts';
import { sweptMap } from '../../state/takeInputs.ts';
import { takeScope } from '../../state/takeScope.ts';
import { workspace } from '../../state/workspace.ts';
import { KeepDialog } from '../kept/KeepDialog.tsx';

/**
 * The one step to take next: find a setting on all that the performer has recorded; keep it, once it was found there and
 * nothing goes wrong here; show it, once it is kept.
 */
export function NextStep({ isAllRight }: { readonly isAllRight: boolean }) {
  const [isAsked, setAsked] = useState(false);
  const candidate = editedCandidate.value;
  const slot = sight.slot.value;
  const kept = isAllRight ? keptAs(candidate) : null;
  if (kept)
    return (
      <button
        type="button"
        class="small main next-step"
        onClick={() => dispatch({ type: 'viewChosen', view: 'kept' })}
      >
        Kept as “{kept.name}”: show it
      </button>
    );
  if (isAllRight && isSuggested(candidate))
    return (
      <>
        <button type="button" class="small main next-step" onClick={() => setAsked(true)}>
          Keep {slot.toUpperCase()}…
        </button>
        {isAsked && <KeepDialog of={slot} onClose={() => setAsked(false)} />}
      </>
    );
  return <LoadOrFind />;
}

/** What is kept for the take's performer comes before a search for more. */
function LoadOrFind() {
  const open = workspace.value?.takes.find(({ id }) => id === chosenTakeId.value);
  const own = open ? ownSetting(open) : null;
  const slot = sight.slot.value;
  if (own === null || keptAs(editedCandidate.value)?.id === own.id) return <FindOne />;
  return (
    <button type="button" class="small main next-step" onClick={() => loadSetting(own, slot)}>
      Load “{own.name}”, kept for these takes
    </button>
  );
}

/** What sets one press right may stand on the edge, and do nothing for other takes: Sweep looks at all, with room. */
function FindOne() {
  const takes = ownTakes();
  const performer = takes[0]?.performer ?? '';
  return (
    <button
      type="button"
      class="small main next-step"
      title={`Sweep tries every speed and hold on ${takes.length > 1 ? `all takes of ${performer}` : 'this take'}, and suggests one with room to spare`}
      onClick={() => {
        sweptMap.value = 'guard';
        judge.value = null;
        takeScope.value =
          takes.length > 1 ? { kind: 'chosen', ids: new Set(takes.map(({ id }) => id)) } : { kind: 'open' };
        dispatch({ type: 'viewChosen', view: 'sweep' });
      }}
    >
      {takes.length > 1 ? `Find a setting for all ${takes.length} takes` : 'Find a setting'}
    </button>
  );
}

/** Those of the open take's performer; the open one alone where nobody named one. */
function ownTakes(): readonly TakeSummary[] {
  const takes = workspace.value?.takes ?? [];
  const open = takes.find(({ id }) => id === chosenTakeId.value);
  if (!open) return [];
  return open.performer === '' ? [open] : takes.filter(({ performer }) => performer === open.performer);
}
