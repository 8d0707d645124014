import { useId, useState } from 'preact/hooks';
import {
  isStatedRate,
  STATED_RATE_HZ_AT_LEAST,
  STATED_RATE_HZ_AT_MOST,
} from '../../../server/engine/base/statedRate.ts';
import type { Preview } from '../../../server/http/schemas.ts';
import { holdRate, restate } from '../../state/importing.ts';
import type { Import } from '../../state/importState.ts';
import { numberOf } from '../numberOf.ts';
import { hasClock } from './ClockField.tsx';

const BOUNDS = `A number of Hz from ${STATED_RATE_HZ_AT_LEAST} to ${STATED_RATE_HZ_AT_MOST}`;

/** The sample rate: told by the clock where there is one, else the user's to state. */
export function RateField({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  const isTold = hasClock(preview) && now.overrides.clock !== 'even';
  if (isTold && now.wrongRate === null) return <ToldRate preview={preview} />;
  return <StatedRate now={now} preview={preview} />;
}

function ToldRate({ preview: { report, mapping } }: { readonly preview: Preview }) {
  return (
    <span class="told-rate">
      Sample rate {report && <b>{Number(report.rateHz.toFixed(2))} Hz</b>}
      <small>
        {report?.rateReason ?? mapping.rateReason}. To let another overrule the clock, choose even steps under
        Clock.
      </small>
    </span>
  );
}

function StatedRate({ now, preview }: { readonly now: Import; readonly preview: Preview }) {
  const id = useId();
  const [draft, setDraft] = useState<string | null>(null);
  const { mapping, report } = preview;
  const known = now.overrides.rateHz === undefined ? '' : String(now.overrides.rateHz);
  const shown = draft ?? now.wrongRate ?? known;
  const isWrong = shown.trim() !== '' && !isStatedRate(numberOf(shown));
  const state = (text: string): void => {
    setDraft(null);
    const { rateHz: _, ...rest } = now.overrides;
    if (text.trim() === '') void restate(rest);
    else if (isStatedRate(numberOf(text))) void restate({ ...rest, rateHz: numberOf(text) });
  };
  return (
    <label for={id}>
      Sample rate, Hz
      <span class={`number ${isWrong ? 'is-wrong' : ''}`}>
        <input
          id={id}
          type="text"
          inputMode="decimal"
          autocomplete="off"
          placeholder={report ? String(Number(report.rateHz.toFixed(2))) : 'for instance 200'}
          value={shown}
          aria-invalid={isWrong}
          aria-describedby={`${id}-why`}
          onInput={(event) => {
            const text = event.currentTarget.value;
            setDraft(text);
            if (text.trim() !== '' && !isStatedRate(numberOf(text))) holdRate(text);
          }}
          onKeyDown={(event) => {
            if (event.key !== 'Escape' || now.wrongRate === null) return;
            // The field's own way back; the dialog stays.
            event.preventDefault();
            event.stopPropagation();
            state(known);
          }}
          onChange={(event) => state(event.currentTarget.value)}
        />
      </span>
      <small id={`${id}-why`} class={isWrong ? 'wrong' : ''} role={isWrong ? 'alert' : undefined}>
        {isWrong ? `“${shown.trim()}” is no sample rate. ${BOUNDS}.` : mapping.rateReason}
      </small>
    </label>
  );
}
