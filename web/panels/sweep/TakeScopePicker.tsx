import { useEffect, useRef, useState } from 'preact/hooks';
import type { TakeSummary } from '../../../server/http/schemas.ts';
import { chosenTakeId } from '../../state/store.ts';
import { isInScope, takeScope } from '../../state/takeScope.ts';
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
        <PerformerButton takes={takes} />
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
          <legend>
            <button
              type="button"
              class="small"
              aria-pressed={isChosen(takes, performer)}
              onClick={() => choosePerformer(takes, performer)}
            >
              Only {performer || 'takes without a performer'}
            </button>
          </legend>
          {takes
            .filter((take) => take.performer === performer)
            .map((take) => (
              <label key={take.id}>
                <input type="checkbox" checked={isInScope(take.id)} onChange={() => toggle(take.id)} />
                {take.title}
              </label>
            ))}
        </fieldset>
      ))}
    </div>
  );
}

/** All takes of the open one's performer, by one click; nothing where these are that one, or all. */
function PerformerButton({ takes }: { readonly takes: readonly TakeSummary[] }) {
  const open = takes.find(({ id }) => id === chosenTakeId.value);
  if (!open || open.performer === '') return null;
  const own = takes.filter(({ performer }) => performer === open.performer);
  if (own.length === 1 || own.length === takes.length) return null;
  return (
    <button
      type="button"
      class="small scope-performer"
      aria-pressed={isChosen(takes, open.performer)}
      title={`All ${own.length} takes of ${open.performer}`}
      onClick={() => choosePerformer(takes, open.performer)}
    >
      {open.performer}
    </button>
  );
}

function idsOf(takes: readonly TakeSummary[], performer: string): string[] {
  return takes.filter((take) => take.performer === performer).map(({ id }) => id);
}

function choosePerformer(takes: readonly TakeSummary[], performer: string): void {
  takeScope.value = { kind: 'chosen', ids: new Set(idsOf(takes, performer)) };
}

/** Whether it is just a performer's takes that are chosen. */
function isChosen(takes: readonly TakeSummary[], performer: string): boolean {
  const scope = takeScope.value;
  if (scope.kind !== 'chosen') return false;
  const ids = idsOf(takes, performer);
  return ids.length === scope.ids.size && ids.every((id) => scope.ids.has(id));
}

function toggle(id: string): void {
  const ids = new Set((workspace.peek()?.takes ?? []).map((take) => take.id).filter(isInScope));
  if (!ids.delete(id)) ids.add(id);
  takeScope.value = { kind: 'chosen', ids };
}
