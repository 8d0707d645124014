import { computed } from '@preact/signals';
import { useState } from 'preact/hooks';
import { type LogText, logTexts, takeLogText } from '../../../server/engine/labels/logTexts.ts';
import { counted, lasting } from '../../../server/engine/words/count.ts';
import { changeLabels } from '../../state/labelling.ts';
import { openLabels, openTake } from '../../state/openTake.ts';
import { kindName } from './words.ts';

const KINDS = ['spinning', 'still', 'thrust', 'hit', 'twist'] as const;
/** A column that changes all the time is no list of labels. */
const SHOWN = 12;

const openSpans = computed(() => openTake.value?.document.textSpans ?? []);

/** What a column of the open take’s log says of its stretches, found once for the panel and its heading. */
export const openLogTexts = computed<readonly LogText[]>(() => logTexts(openSpans.value, openLabels.value));

/** The words of the log's own column, each to be taken as labels of a kind: only a person knows what they mean. */
export function LogTexts() {
  const texts = openLogTexts.value;
  if (texts.length === 0) return null;
  return (
    <section class="log-texts" aria-label="Words in the log">
      <h3>Words in the log</h3>
      <p class="quiet">A column of the log names stretches. They count once you say what they are.</p>
      <ul>
        {texts.slice(0, SHOWN).map((text) => (
          <LogTextRow key={text.text} text={text} />
        ))}
      </ul>
      {texts.length > SHOWN && <p class="quiet">and {texts.length - SHOWN} more words</p>}
    </section>
  );
}

function LogTextRow({ text: own }: { readonly text: LogText }) {
  const { text, spans, totalUs, isTaken } = own;
  const [kind, setKind] = useState(own.kind ?? text);
  return (
    <li data-log-text={text}>
      <span>
        <b>{text}</b>{' '}
        <span class="quiet">
          {counted(spans.length, 'stretch', 'stretches')}, {lasting(totalUs)}
        </span>
      </span>
      <select
        aria-label={`What “${text}” is`}
        value={kind}
        onChange={(event) => setKind(event.currentTarget.value)}
      >
        {[...new Set<string>([...KINDS, text])].map((one) => (
          <option key={one} value={one}>
            {KINDS.some((known) => known === one) ? kindName(one) : 'a drill'}
          </option>
        ))}
      </select>
      <button
        type="button"
        class="small"
        disabled={isTaken}
        onClick={() => changeLabels(takeLogText(openLabels.peek(), own, kind))}
      >
        {isTaken ? 'Labelled' : 'Label'}
      </button>
    </li>
  );
}
