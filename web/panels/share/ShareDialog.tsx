import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import { counted, figure } from '../../../server/engine/words/count.ts';
import { archiveAddress, offerArchive } from '../../api.ts';
import { messageOf, notify } from '../../state/notices.ts';
import { workspace } from '../../state/workspace.ts';
import { Dialog } from '../Dialog.tsx';

export const shareIsOpen = signal(false);

/** Which takes go into a zip for somebody else. */
export function ShareDialog() {
  return shareIsOpen.value ? <Choosing /> : null;
}

function Choosing() {
  const takes = workspace.value?.takes ?? [];
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const [problem, setProblem] = useState<string | null>(null);
  const [isBusy, setBusy] = useState(false);
  const chosen = takes.filter(({ id }) => !left.has(id));
  const close = (): void => {
    shareIsOpen.value = false;
  };
  const toggle = (id: string): void => {
    const next = new Set(left);
    if (!next.delete(id)) next.add(id);
    setLeft(next);
  };
  const share = async (): Promise<void> => {
    setBusy(true);
    setProblem(null);
    try {
      const ids = chosen.length === takes.length ? null : chosen.map(({ id }) => id);
      const { archiveId, sizeBytes } = await offerArchive(ids);
      // The browser fetches it: a zip of hours of recordings has no room in the page.
      const link = document.createElement('a');
      link.href = archiveAddress(archiveId);
      link.download = '';
      link.click();
      notify('fact', `The browser saves the zip: ${figure(sizeBytes / 1e6)} MB of recordings, packed.`);
      close();
    } catch (error) {
      setProblem(messageOf(error));
      setBusy(false);
    }
  };
  return (
    <Dialog title="Takes for somebody else" onClose={close}>
      <p>
        One zip with the recordings byte for byte, columns as they were corrected, labels, calibration, the
        settings kept for them, and both candidates. Drop it on the page of another workspace.
      </p>
      <fieldset class="copy-takes">
        <legend>
          Takes{' '}
          <button
            type="button"
            class="small"
            onClick={() => setLeft(left.size === 0 ? new Set(takes.map(({ id }) => id)) : new Set())}
          >
            {left.size === 0 ? 'None' : 'All'}
          </button>
        </legend>
        {takes.map(({ id, title, performer, isDemo }) => (
          <label key={id}>
            <input type="checkbox" checked={!left.has(id)} onChange={() => toggle(id)} /> {title}
            <span class="quiet">
              {[performer, isDemo ? 'demo' : ''].filter((part) => part !== '').join(' · ')}
            </span>
          </label>
        ))}
      </fieldset>
      {problem !== null && (
        <p class="problem" role="alert">
          {problem}
        </p>
      )}
      <footer>
        <span class="spacer" />
        <button type="button" onClick={close}>
          Cancel
        </button>
        <button
          type="button"
          class="main"
          disabled={chosen.length === 0 || isBusy}
          onClick={() => void share()}
        >
          {chosen.length === 0 ? 'Choose takes' : `Save ${counted(chosen.length, 'take')} as a zip`}
        </button>
      </footer>
    </Dialog>
  );
}
