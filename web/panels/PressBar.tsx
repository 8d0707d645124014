import { type Intent, intentOf } from '../../server/engine/labels/labels.ts';
import { pressReason } from '../../server/engine/words/presses.ts';
import { formatClock } from '../charts/stave.ts';
import { FATE_WORDS, fateOf } from '../state/fate.ts';
import { labelChosenPress, stepPress } from '../state/labelling.ts';
import { isProposedStray } from '../state/labelWalk.ts';
import { openLabels, openTake, powerPresses } from '../state/openTake.ts';
import { sight } from '../state/store.ts';
import { verdicts } from '../state/verdicts.ts';
import { BY_WORDS } from './labels/words.ts';

const INTENTS: readonly [Intent, string, string][] = [
  ['wanted', 'Wanted', 'W'],
  ['stray', 'Stray', 'S'],
  ['unsure', 'Unsure', 'U'],
];

/** The chosen press: which, what became of it and why, and its label. */
export function PressBar() {
  const presses = powerPresses.value;
  const index = sight.pressIndex.value;
  const verdict = index === null ? undefined : verdicts[sight.slot.value].value?.presses[index];
  const label = verdict ? intentOf(openLabels.value, verdict.press) : null;
  if (presses.length === 0)
    return <p class="press-bar quiet">{noneWords(openTake.value?.document.presses.length ?? 0)}</p>;
  return (
    <div class="press-bar" role="group" aria-label="Label a press">
      <button
        type="button"
        class="small"
        onClick={() => stepPress(-1)}
        title="Previous press (P)"
        aria-label="Previous press"
      >
        ‹
      </button>
      <button
        type="button"
        class="small"
        onClick={() => stepPress(1)}
        title="Next press (N)"
        aria-label="Next press"
      >
        ›
      </button>
      <span class="choices">
        {INTENTS.map(([intent, name, key]) => (
          <button
            key={intent}
            type="button"
            class="small"
            aria-pressed={label?.intent === intent}
            disabled={!verdict}
            title={`${name} (${key})`}
            onClick={() => labelChosenPress(intent)}
          >
            {name}
          </button>
        ))}
      </span>
      <output class="press-text">
        {verdict && index !== null ? (
          <>
            <b>
              Press {index + 1} of {presses.length} at {formatClock(verdict.press.downUs / 1e6, 3)}
            </b>{' '}
            <span title={FATE_WORDS[fateOf(verdict, label?.intent ?? null)]}>
              {pressReason(verdict, label?.intent)}
            </span>{' '}
            {label && <i>{BY_WORDS[label.by]}</i>}
            {isProposedStray(verdict.press) && <i>in a spin: proposed as stray, C confirms</i>}
          </>
        ) : (
          <span class="quiet">{presses.length} presses of the power button</span>
        )}
      </output>
    </div>
  );
}

function noneWords(ofOtherButtons: number): string {
  return ofOtherButtons > 0
    ? `No presses of the power button, ${ofOtherButtons} of others: which one it is stands under “This take”.`
    : 'This take holds no presses: what the guard does is seen, but no press is judged by it.';
}
