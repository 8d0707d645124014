import { computed, signal } from '@preact/signals';
import type { Labels } from '../../server/engine/labels/labels.ts';
import type { TakeSummary } from '../../server/http/schemas.ts';
import type { JobTake } from '../sweep/jobs.ts';
import { whyLeftOut } from './fitness.ts';
import type { SweptMap } from './model.ts';
import { openTake } from './openTake.ts';
import { labelsByTake } from './store.ts';
import { isInScope } from './takeScope.ts';
import { workspace } from './workspace.ts';

/** The map that Sweep shows. */
export const sweptMap = signal<SweptMap>('guard');

/** The takes that the view looks at, as the workspace has them. */
export const takesInScope = computed<readonly TakeSummary[]>(() =>
  (workspace.value?.takes ?? []).filter(({ id }) => isInScope(id)),
);

/**
 * The takes in scope, in the workspace's order. Their documents are read by whoever does the job, one by one: a job over
 * a hundred takes must not wait for all of them.
 */
export const takeInputs = computed<readonly JobTake[]>(() => {
  const open = openTake.value?.document;
  return takesInScope.value.map((summary): JobTake => {
    const { id, title, performer, revision } = open?.id === summary.id ? open : summary;
    return {
      id,
      title,
      performer,
      revision: Math.max(revision, summary.revision),
      content: revision > summary.revision ? null : summary.content,
      labels: unsavedLabels(id),
      // One that is not judged yet counts until it is: nothing is suggested before that.
      unfit: whyLeftOut(summary),
    };
  });
});

/** Labels that the take's document may not hold yet; null where it holds the same, so that opening a take changes no job. */
function unsavedLabels(id: string): Labels | null {
  const labels = labelsByTake.value[id];
  const open = openTake.value?.document;
  if (labels === undefined) return null;
  return open?.id === id && (open.labels === labels || JSON.stringify(open.labels) === JSON.stringify(labels))
    ? null
    : labels;
}
