import { computed, signal } from '@preact/signals';
import type { Labels } from '../../server/engine/truth/labels.ts';
import type { JobTake } from '../sweep/jobs.ts';
import type { SweptMap } from './model.ts';
import { openTake } from './openTake.ts';
import { state } from './store.ts';
import { workspace } from './workspace.ts';

/** Which takes a view looks at: the open one, all of the workspace, or those ticked. */
export type TakeScope =
  | { readonly kind: 'open' }
  | { readonly kind: 'all' }
  | { readonly kind: 'chosen'; readonly ids: ReadonlySet<string> };

/** Shared by the views, so that one looks at what the other did. */
export const takeScope = signal<TakeScope>({ kind: 'open' });

/** The map that Sweep shows. */
export const sweptMap = signal<SweptMap>('guard');

const labels = computed(() => state.value.work.labels);

/** The take that a job is to begin with: it is what the user looks at. */
export const firstTakeId = computed<string | null>(() => state.value.takeId);

/**
 * The takes in scope, in the workspace's order. Their documents are read by whoever does the job, one by one: a job over
 * a hundred takes must not wait for all of them.
 */
export const takeInputs = computed<readonly JobTake[]>(() => {
  const scope = takeScope.value;
  const open = openTake.value?.document;
  const isIn = (id: string): boolean =>
    scope.kind === 'all' || (scope.kind === 'open' ? firstTakeId.value === id : scope.ids.has(id));
  return (workspace.value?.takes ?? [])
    .filter(({ id }) => isIn(id))
    .map((summary): JobTake => {
      const { id, title, performer, revision } = open?.id === summary.id ? open : summary;
      return { id, title, performer, revision: Math.max(revision, summary.revision), labels: ownLabels(id) };
    });
});

/** Labels that the take's document may not hold yet; null where it holds the same, so that opening a take changes no job. */
function ownLabels(id: string): Labels | null {
  const own = labels.value[id];
  const open = openTake.value?.document;
  if (own === undefined) return null;
  return open?.id === id && (open.labels === own || JSON.stringify(open.labels) === JSON.stringify(own))
    ? null
    : own;
}
