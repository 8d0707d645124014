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

  const own = performerWithButton(takes);
  const isHand = scope.kind === 'chosen' && !(own !== null && isChosen(takes, own));
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
          aria-pressed={isHand}
          aria-expanded={isOpen}
          onClick={() => setOpen(!isOpen)}
        >
          {isHand ? `${scope.ids.size} chosen` : 'Choose'} ▾
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
  const performer = performerWithButton(takes);
  if (performer === null) return null;
  return (
    <button
      type="button"
      class="small scope-performer"
      aria-pressed={isChosen(takes, performer)}
      title={`All ${idsOf(takes, performer).length} takes of ${performer}`}
      onClick={() => choosePerformer(takes, performer)}
    >
      {performer}
    </button>
  );
}

/** The open take's performer; null where nobody is named, or all their takes are the open one or all that there are. */
function performerWithButton(takes: readonly TakeSummary[]): string | null {
  const performer = takes.find(({ id }) => id === chosenTakeId.value)?.performer ?? '';
  const own = idsOf(takes, performer).length;
  return performer === '' || own === 1 || own === takes.length ? null : performer;
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
