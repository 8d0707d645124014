import { computed, effect, signal } from '@preact/signals';
import type { TakeDocument } from '../../server/http/schemas.ts';
import { fetchTake } from '../api.ts';
import type { TakeInput } from '../sweep/jobs.ts';
import { messageOf } from './notices.ts';
import { openTake, pressesOf } from './openTake.ts';
import { state } from './store.ts';
import { workspace } from './workspace.ts';

/** Which takes a view looks at: the open one, all of the workspace, or those ticked. */
export type TakeScope =
  | { readonly kind: 'open' }
  | { readonly kind: 'all' }
  | { readonly kind: 'chosen'; readonly ids: ReadonlySet<string> };

/** Shared by the views, so that one looks at what the other did. */
export const takeScope = signal<TakeScope>({ kind: 'open' });

const documents = signal<ReadonlyMap<string, TakeDocument>>(new Map());
/** Why documents could not be read; by take. */
const problems = signal<ReadonlyMap<string, string>>(new Map());
const asked = new Set<string>();
const AT_ONCE = 6;

const labels = computed(() => state.value.work.labels);

const wantedIds = computed<readonly string[]>(() => {
  const open = openTake.value?.document.id;
  const scope = takeScope.value;
  if (scope.kind === 'open') return open === undefined ? [] : [open];
  const ids = (workspace.value?.takes ?? []).map((take) => take.id);
  const chosen = scope.kind === 'all' ? ids : ids.filter((id) => scope.ids.has(id));
  // The open take first: it is read already, and what the user looks at.
  return open !== undefined && chosen.includes(open) ? [open, ...chosen.filter((id) => id !== open)] : chosen;
});

/** The takes in scope with the labels as they are now; null until all documents are read. */
export const takeInputs = computed<readonly TakeInput[] | null>(() => {
  const inputs: TakeInput[] = [];
  for (const id of wantedIds.value) {
    const open = openTake.value?.document;
    const document = open?.id === id ? open : documents.value.get(id);
    if (document) inputs.push(inputOf(document));
    else if (!problems.value.has(id)) return null;
  }
  return inputs;
});

/** What could not be read of the takes in scope, a sentence each. */
export const inputProblems = computed<readonly string[]>(() =>
  wantedIds.value.flatMap((id) => problems.value.get(id) ?? []),
);

/** Keeps the documents of the takes in scope read, while a view needs them. @returns a function that stops it. */
export function followTakes(): () => void {
  return effect(() => {
    const revisions = new Map((workspace.value?.takes ?? []).map((take) => [take.id, take.revision]));
    const missing = wantedIds.value.filter((id) => {
      const known = documents.peek().get(id);
      return !known || known.revision < (revisions.get(id) ?? 0);
    });
    void readAll(missing.filter((id) => !asked.has(id)));
  });
}

async function readAll(ids: readonly string[]): Promise<void> {
  for (const id of ids) asked.add(id);
  for (let i = 0; i < ids.length; i += AT_ONCE) await Promise.all(ids.slice(i, i + AT_ONCE).map(readOne));
}

async function readOne(id: string): Promise<void> {
  try {
    const document = await fetchTake(id);
    documents.value = new Map(documents.peek()).set(id, document);
  } catch (error) {
    problems.value = new Map(problems.peek()).set(id, messageOf(error));
  } finally {
    asked.delete(id);
  }
}

function inputOf(document: TakeDocument): TakeInput {
  const { id, title, performer, calibration } = document;
  return {
    id,
    title,
    performer,
    calibration,
    presses: pressesOf(document),
    labels: labels.value[id] ?? document.labels,
  };
}
