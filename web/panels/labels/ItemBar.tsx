import { useState } from 'preact/hooks';
import { REJECTIONS, type RejectedKind } from '../../../server/engine/labels/labels.ts';
import type { LabelItem } from '../../../server/engine/labels/labelsEdit.ts';
import { formatClock } from '../../charts/stave.ts';
import {
  chosenItem,
  confirmChosen,
  isConfirmed,
  kindOf,
  labelItems,
  moveChosen,
  rejectChosen,
  stepItem,
} from '../../state/labelWalk.ts';
import { notify } from '../../state/notices.ts';
import { openTake } from '../../state/openTake.ts';
import { truth } from '../../state/verdicts.ts';
import { PressBar } from '../PressBar.tsx';
import { parseClock } from './clock.ts';
import { BY_WORDS, kindName } from './words.ts';

/** The chosen label: which, whose, and what to do with it; without one, the presses. */
export function LabelBar() {
  const item = chosenItem.value;
  return item ? <ItemBar item={item} /> : <PressBar />;
}

function ItemBar({ item }: { readonly item: LabelItem }) {
  const kind = kindOf(item);
  const alike = labelItems.value.filter((other) => kindOf(other) === kind);
  const open = alike.filter((other) => !isConfirmed(other)).length;
  const name = kindName(kind);
  return (
    <div class="press-bar" role="group" aria-label="Label under edit">
      <button
        type="button"
        class="small"
        onClick={() => stepItem(-1)}
        title="Previous (K)"
        aria-label={`Previous ${kind}`}
      >
        ‹
      </button>
      <button
        type="button"
        class="small"
        onClick={() => stepItem(1)}
        title="Next (J)"
        aria-label={`Next ${kind}`}
      >
        ›
      </button>
      <span class="choices">
        <button
          type="button"
          class="small"
          disabled={isConfirmed(item)}
          title="It is so (C)"
          onClick={confirmChosen}
        >
          Confirm
        </button>
        <button type="button" class="small" title={rejectTitle(item)} onClick={rejectChosen}>
          {item.isProposed ? 'Not so' : 'Remove'}
        </button>
      </span>
      <Ends item={item} />
      <output class="press-text">
        <b>
          {name} {alike.indexOf(item) + 1} of {alike.length}
        </b>
        {peakText(item)} <i>{item.isProposed ? BY_WORDS.program : BY_WORDS[item.label.by]}</i>
        {open > 0 && <span class="quiet"> · {open} not confirmed</span>}
      </output>
    </div>
  );
}

function rejectTitle(item: LabelItem): string {
  return item.isProposed
    ? `${kindName(REJECTIONS[kindOf(item) as RejectedKind])}: it is not proposed here again (X)`
    : 'Take the label away (X)';
}

function peakText(item: LabelItem): string {
  if (item.what !== 'swing') return '';
  const found = truth.value?.swings.find((swing) => swing.peakUs === item.label.peakUs);
  return found ? `, peak ${found.peakDps.toFixed(0)} °/s${found.saturated ? ' or more (clipped)' : ''}` : '';
}

function Ends({ item }: { readonly item: LabelItem }) {
  const { startUs, endUs } = item.label;
  return (
    <span class="label-ends">
      <TimeField
        name="Start"
        us={startUs}
        onChange={(us) => moveChosen({ startUs: us, endUs })}
        isAllowed={(us) => us < endUs}
      />
      –
      <TimeField
        name="End"
        us={endUs}
        onChange={(us) => moveChosen({ startUs, endUs: us })}
        isAllowed={(us) => us > startUs}
      />
    </span>
  );
}

function TimeField(props: {
  name: string;
  us: number;
  onChange(us: number): void;
  isAllowed(us: number): boolean;
}) {
  const shown = formatClock(props.us / 1e6, 3);
  // The typed text is kept apart: the page may paint anew at any time, as when a save is done.
  const [typed, setTyped] = useState<string | null>(null);
  const take = (text: string): void => {
    setTyped(null);
    const us = parseClock(text);
    const durationUs = openTake.peek()?.durationUs ?? 0;
    if (us !== null && us <= durationUs && props.isAllowed(us)) props.onChange(us);
    else
      notify(
        'error',
        `${props.name}: a time inside the take, as 0:12.345 or 12.345; the start lies before the end.`,
      );
  };
  return (
    <input
      type="text"
      class="time-field"
      aria-label={`${props.name}, minutes and seconds`}
      value={typed ?? shown}
      onInput={(event) => setTyped(event.currentTarget.value)}
      onChange={(event) => take(event.currentTarget.value)}
    />
  );
}
