import { counted } from '../../../server/engine/words/count.ts';
import { compareStatus, goOnComparing, stopComparing } from '../../state/comparing.ts';

/** How far the work is (`what` is done to takes), with a button to stop it and to go on. */
export function CompareProgress({ what }: { readonly what: string }) {
  const { status, done, total } = compareStatus.value;
  if (status === 'done' && total === 0) return null;
  return (
    <div class="compare-progress" role="status" data-compare={status}>
      {status === 'done' ? (
        <span class="quiet">
          {counted(total, 'take')} {what}
        </span>
      ) : (
        <>
          <progress value={done} max={Math.max(1, total)} aria-label={`takes ${what}`} />
          <span>
            {done} of {total} takes {what}
          </span>
          <button type="button" class="small" onClick={status === 'running' ? stopComparing : goOnComparing}>
            {status === 'running' ? 'Stop' : 'Go on'}
          </button>
        </>
      )}
    </div>
  );
}
