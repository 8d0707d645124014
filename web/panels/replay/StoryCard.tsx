import type { LightState } from '../../../server/engine/replay/light.ts';
import { moment } from '../../../server/engine/words/count.ts';
import { LIGHT_MODEL, type StoryLine, storyLines } from '../../../server/engine/words/story.ts';
import type { Slot } from '../../state/model.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { shownSlots, shownWrongs, stories } from '../../state/story.ts';
import { showMoment } from './player.ts';
import { StoryLines } from './StoryLines.tsx';

/** Moments that a sentence shows; the marks on the line show the rest. */
const MOST_MOMENTS = 2;

const STATE_MARKS: Readonly<Record<LightState, string>> = {
  lit: 'bar: lit',
  dark: 'line: dark',
  wronglyDark: 'box: wrongly dark',
  unknown: 'dots: not known',
};

/** The story of a take: a line of states, and what to make of it in sentences with the moments behind them. */
export function StoryCard({ take }: { readonly take: OpenTake }) {
  return (
    <section class="card story" aria-label="The story of the take">
      <header>
        <h2>The story of the take</h2>
        <span class="unit">{marksInSight().join(' · ')}</span>
      </header>
      <StoryLines take={take} />
      <div class="story-sentences">
        {shownSlots.value.map((slot) => (
          <Sentences key={slot} slot={slot} />
        ))}
      </div>
      <details>
        <summary>What is known of it</summary>
        <p>{LIGHT_MODEL}</p>
        <p>Up comes from gravity. The heading and the hand’s place are not measured: both are arbitrary.</p>
      </details>
    </section>
  );
}

/** What the lines of states show, of the take as it is. */
function marksInSight(): string[] {
  const shown = shownSlots.value.flatMap((slot) => stories[slot].value ?? []);
  const states = new Set(shown.flatMap(({ light }) => light.map(({ state }) => state)));
  return [
    ...(Object.keys(STATE_MARKS) as LightState[]).flatMap((state) =>
      states.has(state) ? STATE_MARKS[state] : [],
    ),
    ...(shown.some(({ deflecting }) => deflecting.length > 0) ? ['ticks: deflections'] : []),
    ...(shownWrongs.value.length > 0 ? ['▲ wrong'] : []),
  ];
}

function Sentences({ slot }: { readonly slot: Slot }) {
  const story = stories[slot].value;
  if (!story) return null;
  return (
    <ul data-sentences={slot}>
      {storyLines(story).map((line, k) => (
        <Sentence key={line.text} line={line} letter={k === 0 && shownSlots.value.length > 1 ? slot : null} />
      ))}
    </ul>
  );
}

function Sentence({ line, letter }: { readonly line: StoryLine; readonly letter: Slot | null }) {
  const { text, momentsUs, isBad } = line;
  return (
    <li>
      {letter && <b>{letter.toUpperCase()}: </b>}
      <span class={isBad ? 'bad' : undefined}>{text}</span>{' '}
      {momentsUs.slice(0, MOST_MOMENTS).map((us) => (
        <button key={us} type="button" class="small" title="Show this moment" onClick={() => showMoment(us)}>
          {moment(us)}
        </button>
      ))}
      {momentsUs.length > MOST_MOMENTS && (
        <span class="quiet"> and {momentsUs.length - MOST_MOMENTS} more</span>
      )}
    </li>
  );
}
