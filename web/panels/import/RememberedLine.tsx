import type { Preview } from '../../../server/http/schemas.ts';
import { forgetRemembered, useGuess, useRemembered } from '../../state/importing.ts';
import type { Import } from '../../state/importState.ts';

/** Settings of an earlier log of this shape: whether they are in use or could be, and how to remove them. */
export function RememberedLine({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  const { remembered } = preview;
  if (!remembered || now.stage === 'storing') return null;
  const when = `${remembered.fileName} on ${remembered.savedAt.slice(0, 10)}`;
  return (
    <p class="remembered">
      <span>
        {remembered.inUse
          ? `Read as you set it for ${when}: a log of the same shape.`
          : `You corrected a log of this shape before, ${when}; that is not used here.`}
      </span>
      {remembered.inUse ? (
        <button type="button" class="small" onClick={() => void useGuess()}>
          Use the guess instead
        </button>
      ) : (
        <button type="button" class="small" onClick={() => void useRemembered()}>
          Use it
        </button>
      )}
      <button type="button" class="small" onClick={() => void forgetRemembered(remembered.id)}>
        Forget it
      </button>
    </p>
  );
}
