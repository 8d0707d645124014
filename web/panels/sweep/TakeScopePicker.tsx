import { useEffect, useRef, useState } from 'preact/hooks';
import type { TakeSummary } from '../../../server/http/schemas.ts';
import { firstTakeId, takeScope } from '../../state/takeInputs.ts';
import { workspace } from '../../state/workspace.ts';

/** Which takes the view looks at: the open one, all, or some. */
export function TakeScopePicker() {
  const scope = takeScope.value;
  const takes = workspace.value?.takes ?? [];
  const [isOpen, setOpen] = useState(false);
  const ref = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (!isOpen) return;
    const listeners = new AbortController();
    const { signal } = listeners;
    const isOutside = (target: EventTarget | null) => !ref.current?.contains(target as Node);
    addEventListener('pointerdown', (event) => isOutside(event.target) && setOpen(false), { signal });
    addEventListener('keydown', (event) => event.key === 'Escape' && setOpen(false), { signal });
    return () => listeners.abort();
  }, [isOpen]);

  const chosen = scope.kind === 'chosen' ? scope.ids.size : 0;
  return (
    <div class="scope" ref={ref}>
      <span class="choices" role="group" aria-label="Takes to look at">
        <button
          type="button"
          class="small"
          aria-pressed={scope.kind === 'open'}
          onClick={() => (takeScope.value = { kind: 'open' })}
        >
          This take
        </button>
        <button
          type="button"
          class="small"
          aria-pressed={scope.kind === 'all'}
          onClick={() => (takeScope.value = { kind: 'all' })}
        >
          {takes.length === 1 ? 'All takes' : `All ${takes.length} takes`}
        </button>
        <button
          type="button"
          class="small"
          aria-pressed={scope.kind === 'chosen'}
          aria-expanded={isOpen}
          onClick={() => setOpen(!isOpen)}
        >
          {scope.kind === 'chosen' ? `${chosen} chosen` : 'Choose'} ▾
        </button>
      </span>
      {isOpen && <TakeChecks takes={takes} />}
    </div>
  );
}

function TakeChecks({ takes }: { readonly takes: readonly TakeSummary[] }) {
  const performers = [...new Set(takes.map((take) => take.performer))];
  return (
    <div class="scope-list" role="group" aria-label="Takes">
      {performers.map((performer) => (
        <fieldset key={performer}>
          <legend>{performer || 'No performer named'}</legend>
          {takes
            .filter((take) => take.performer === performer)
            .map((take) => (
              <label key={take.id}>
                <input type="checkbox" checked={isIn(take.id)} onChange={() => toggle(take.id)} />
                {take.title}
              </label>
            ))}
        </fieldset>
      ))}
    </div>
  );
}

function isIn(id: string): boolean {
  const scope = takeScope.value;
  if (scope.kind === 'all') return true;
  return scope.kind === 'open' ? firstTakeId.value === id : scope.ids.has(id);
}

function toggle(id: string): void {
  const ids = new Set((workspace.peek()?.takes ?? []).map((take) => take.id).filter(isIn));
  if (!ids.delete(id)) ids.add(id);
  takeScope.value = { kind: 'chosen', ids };
}
