import { counted } from '../../../server/engine/words/count.ts';
import type { ArchivePlan } from '../../../server/http/schemas.ts';
import { acceptArchive, leaveArchive, receiving } from '../../state/receiving.ts';
import { Dialog } from '../Dialog.tsx';

const DOES: Readonly<Record<ArchivePlan['takes'][number]['does'], string>> = {
  new: 'comes in',
  copy: 'comes in beside the one that is here, which has other contents and stays',
  here: 'here already, the same',
};

/** What a zip of takes would bring in, before anything of it is. */
export function ReceiveDialog() {
  const now = receiving.value;
  if (now === null) return null;
  const { name, stage, progress, plan, error } = now;
  return (
    <Dialog title={`Takes from ${name}`} onClose={leaveArchive}>
      {stage === 'sending' && (
        <p class="progress">
          Sending… <progress value={progress} max={1} aria-label="Sending" />
        </p>
      )}
      {stage === 'looking' && <p class="quiet">Looking at what is in it…</p>}
      {stage === 'failed' && (
        <p class="problem" role="alert">
          {error}
        </p>
      )}
      {plan && <Plan plan={plan} />}
      <footer>
        <span class="spacer" />
        <button type="button" disabled={stage === 'storing'} onClick={leaveArchive}>
          {plan && news(plan) === 0 ? 'Close' : 'Cancel'}
        </button>
        {plan && news(plan) > 0 && stage !== 'failed' && (
          <button
            type="button"
            class="main"
            disabled={stage === 'storing'}
            onClick={() => void acceptArchive()}
          >
            {stage === 'storing' ? 'Bringing it in…' : 'Bring it in'}
          </button>
        )}
      </footer>
    </Dialog>
  );
}

/** How much would change here. */
function news({ takes, settings, newMappings }: ArchivePlan): number {
  return [...takes, ...settings].filter(({ does }) => does !== 'here').length + newMappings;
}

function Plan({ plan }: { readonly plan: ArchivePlan }) {
  const { takes, settings, newMappings } = plan;
  return (
    <>
      <p>
        {news(plan) === 0
          ? 'All of it is here already.'
          : 'Nothing has been changed yet. What is here stays as it is.'}
      </p>
      <ul class="archive-plan" aria-label="What it holds">
        {takes.map(({ id, title, performer, does }) => (
          <li key={id} data-does={does}>
            <b>{title}</b>
            {performer !== '' && <span class="quiet"> {performer}</span>}
            <span class="quiet">: {DOES[does]}</span>
          </li>
        ))}
        {settings.map(({ name, does }, i) => (
          // Two settings may have one name.
          <li key={i} data-does={does}>
            <b>{name}</b>
            <span class="quiet">, a kept setting: {DOES[does]}</span>
          </li>
        ))}
        {newMappings > 0 && (
          <li>Corrected columns of {counted(newMappings, 'more shape of log', 'more shapes of log')}</li>
        )}
      </ul>
    </>
  );
}
