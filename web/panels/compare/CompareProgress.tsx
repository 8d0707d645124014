import { compareStatus, goOnComparing, stopComparing } from '../../state/comparing.ts';

const STAGE_WORDS = { scores: 'scores', grids: 'settings to choose from' };

/** How far the work is, with a button to stop it and to go on. */
export function CompareProgress({ what }: { readonly what: string }) {
  const { kind, stage, done, total } = compareStatus.value;
  if (kind === 'done' && total === 0) return null;
  return (
    <div class="compare-progress" role="status" data-compare={kind}>
      {kind === 'done' ? (
        <span class="quiet">
          {total} {what}
        </span>
      ) : (
        <>
          <progress value={done} max={Math.max(1, total)} aria-label={`${what}: ${STAGE_WORDS[stage]}`} />
          <span>
            {STAGE_WORDS[stage]}: {done} of {total}
          </span>
          <button type="button" class="small" onClick={kind === 'running' ? stopComparing : goOnComparing}>
            {kind === 'running' ? 'Stop' : 'Go on'}
          </button>
        </>
      )}
    </div>
  );
}
