import { joinWaiting, takeOut } from '../../state/importing.ts';
import type { Import } from '../../state/importState.ts';

const SHOWN = 3;

/** The files of this take, where there are several, and those that wait for their turn. */
export function FilesLine({ now }: { readonly now: Import }) {
  const { files, waiting } = now;
  const isBusy = now.stage !== 'ready' && now.stage !== 'failed';
  return (
    <div class="files-line">
      {files.length > 1 && (
        <span>
          One take of{' '}
          {files.map((file, i) => (
            <span key={`${i} ${file.name}`} class="file">
              {file.name}{' '}
              <button type="button" class="small" disabled={isBusy} onClick={() => void takeOut(file)}>
                Take out
              </button>
            </span>
          ))}
        </span>
      )}
      {waiting.slice(0, SHOWN).map((file, i) => (
        <span key={`${i} ${file.name}`} class="file quiet">
          {file.name} waits{' '}
          <button
            type="button"
            class="small"
            disabled={isBusy}
            title="Read it together with this take, not as a take of its own"
            onClick={() => void joinWaiting(file)}
          >
            Join to this take
          </button>
        </span>
      ))}
      {waiting.length > SHOWN && <span class="quiet">and {waiting.length - SHOWN} more</span>}
    </div>
  );
}
