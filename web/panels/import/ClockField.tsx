import type { ClockUse, Preview } from '../../../server/http/schemas.ts';
import { restate } from '../../state/importing.ts';
import type { Import } from '../../state/importState.ts';

const USES = [
  ['', 'as it looks best'],
  ['even', 'even steps'],
  ['stamps', 'each row at its own stamp'],
] as const;

/** How the stamps of a clock are taken; with even steps a stated rate may overrule them. */
export function ClockField({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  if (!hasClock(preview)) return null;
  return (
    <label>
      Clock
      <select
        aria-label="How the clock’s stamps are taken"
        value={now.overrides.clock ?? ''}
        onChange={(event) => takeClock(now, event.currentTarget.value as ClockUse | '')}
      >
        {USES.map(([use, words]) => (
          <option key={use} value={use}>
            {words}
          </option>
        ))}
      </select>
    </label>
  );
}

/** The two answers to the question how bunched stamps are to be taken. */
export function ClockOffers({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  if (!preview.isClockOpen) return null;
  return (
    <p class="problem-actions">
      <button type="button" onClick={() => takeClock(now, 'even')}>
        Rows follow each other evenly
      </button>
      <button type="button" onClick={() => takeClock(now, 'stamps')}>
        Each row has its own stamp
      </button>
    </p>
  );
}

export function hasClock({ mapping }: Preview): boolean {
  const clocks = mapping.columns.filter(({ role }) => role === 'time');
  return clocks.length > 0 && clocks.every(({ unit }) => unit !== 'counter' && unit !== '');
}

function takeClock(now: Import, use: ClockUse | ''): void {
  const { clock: _, rateHz, ...rest } = now.overrides;
  // A rate that overruled the stamps says nothing once they count again.
  const kept = use === 'even' && rateHz !== undefined ? { rateHz } : {};
  void restate({ ...rest, ...kept, ...(use === '' ? {} : { clock: use }) });
}
