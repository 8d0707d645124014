import { useEffect } from 'preact/hooks';
import { refreshRemoved, removedTakes } from '../state/removedTakes.ts';
import { restoreTakes } from '../state/removing.ts';
import { workspace } from '../state/workspace.ts';

/** Removed takes, to be restored from the trash; and what of the workspace's folder cannot be read. */
export function RemovedList() {
  const present = workspace.value?.takes.map((take) => take.id).join();
  // A take that went or came back is in the workspace's list before it is asked for here.
  useEffect(() => void refreshRemoved(), [present]);
  const takes = removedTakes.value?.takes ?? [];
  const problems = [...(workspace.value?.problems ?? []), ...(removedTakes.value?.problems ?? [])];
  return (
    <>
      {takes.length > 0 && (
        <details class="removed">
          <summary>Removed takes: {takes.length}</summary>
          <ul>
            {takes.map(({ id, title, performer }) => (
              <li key={id} data-removed={id}>
                <span>
                  {title}
                  {performer !== '' && <small> {performer}</small>}
                </span>
                <button type="button" class="small" onClick={() => void restoreTakes([id])}>
                  Restore
                </button>
              </li>
            ))}
          </ul>
        </details>
      )}
      {problems.length > 0 && (
        <ul class="warnings folder-problems" aria-label="What cannot be read">
          {problems.map((problem) => (
            <li key={problem}>{problem}</li>
          ))}
        </ul>
      )}
    </>
  );
}
