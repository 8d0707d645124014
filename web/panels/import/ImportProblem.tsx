import { backToReading, retryImport } from '../../state/importing.ts';
import type { Import } from '../../state/importState.ts';

/** Why this cannot go on, and what can be done about it. */
export function ImportProblem({ now }: { readonly now: Import }) {
  const { error, reading } = now;
  if (!error) return null;
  const isOffline = error.code === 'OFFLINE';
  return (
    <div class="problem" role="alert">
      <p>
        <b>{headingOf(error.code, reading !== null)}</b>{' '}
        {isOffline ? 'Is it still running in its terminal? Start it again, then try again.' : error.message}
      </p>
      {reading && (
        <p>The figures in grey below are of the last reading that worked, not of what you set now.</p>
      )}
      <p class="problem-actions">
        {isOffline && (
          <button type="button" onClick={() => void retryImport()}>
            Try again
          </button>
        )}
        {reading && (
          <button type="button" onClick={backToReading}>
            Go back to the last reading
          </button>
        )}
      </p>
    </div>
  );
}

function headingOf(code: string, wasRead: boolean): string {
  switch (code) {
    case 'OFFLINE':
      return 'The server does not answer.';
    case 'LOG_FORMAT':
      return wasRead ? 'Read like this, it is no motion log.' : 'This cannot be read as a motion log.';
    case 'UPLOAD_TOO_LARGE':
    case 'UPLOAD_BROKEN':
    case 'UPLOAD_NOT_FOUND':
      return 'The file did not reach the server whole.';
    case 'MAPPING':
    case 'INVALID_REQUEST':
      return 'It cannot be read as you set it.';
    default:
      return 'This could not be done.';
  }
}
