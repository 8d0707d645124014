import { type Agreement, isAlike } from '../../server/engine/device/agreement.ts';
import { agreementText, causeTexts, countedTexts, kindCounts } from '../../server/engine/words/device.ts';
import { deviceAgreement, findTheCause, searchOf, stopSearch } from '../state/device.ts';
import type { Slot } from '../state/model.ts';
import { openDecisions } from '../state/openTake.ts';
import { sight } from '../state/store.ts';
import { Explain } from './Explain.tsx';

/** How far the prop behaves as the bench, in a line for each candidate; nothing for a take that does not tell of it. */
export function DeviceLines() {
  if (openDecisions.value === null) return null;
  return (
    <div class="device-lines">
      <DeviceLine slot="a" />
      {sight.showB.value && <DeviceLine slot="b" />}
    </div>
  );
}

function DeviceLine({ slot }: { readonly slot: Slot }) {
  const agreement = deviceAgreement[slot].value;
  if (!agreement) return null;
  return (
    <div data-device-line={slot}>
      <p>
        <b>{slot.toUpperCase()}</b> {agreementText(agreement)} <Counted agreement={agreement} />{' '}
        {agreement.n > 0 && !isAlike(agreement) && <CauseButton slot={slot} />}
      </p>
      <Causes slot={slot} />
    </div>
  );
}

function Counted({ agreement }: { readonly agreement: Agreement }) {
  const { guardClosed, refusedUs, fires } = openDecisions.value!;
  const told = { guard: guardClosed !== null, presses: refusedUs !== null, fires: fires !== null };
  return (
    <Explain name="What was counted">
      {countedTexts(agreement, told).join(' ')} {agreement.n > 0 && `Alike: ${kindCounts(agreement)}.`}
    </Explain>
  );
}

function CauseButton({ slot }: { readonly slot: Slot }) {
  const search = searchOf(slot);
  if (search?.status === 'done') return null;
  if (search?.status === 'running')
    return (
      <span class="device-search" role="status">
        <progress value={search.part} max={1} aria-label="Looking for the cause" />
        <button type="button" class="small" onClick={() => stopSearch(slot)}>
          Stop
        </button>
      </span>
    );
  return (
    <button type="button" class="small" onClick={() => void findTheCause(slot)}>
      Find the likely cause
    </button>
  );
}

function Causes({ slot }: { readonly slot: Slot }) {
  const search = searchOf(slot);
  if (search?.status === 'failed') return <p class="caution-line">The cause was not found: {search.error}</p>;
  if (!search?.search) return null;
  return (
    <ul class="device-causes" aria-label="Likely cause">
      {causeTexts(search.search).map((text) => (
        <li key={text}>{text}</li>
      ))}
    </ul>
  );
}
