import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { FIRST_VIEW } from '../../../server/engine/replay/projection.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { bladeView } from '../../state/playhead.ts';
import { dispatch } from '../../state/store.ts';
import { BladeStage } from './BladeStage.tsx';
import { useBladePath } from './bladePath.ts';
import { EventWords, NowWords } from './MomentWords.tsx';
import { stepSample, stepWrong, togglePlay, usePlayer } from './player.ts';
import { StoryCard } from './StoryCard.tsx';
import { StoryLines } from './StoryLines.tsx';
import { Transport } from './Transport.tsx';

const KEYS: Readonly<Record<string, () => void>> = {
  ' ': togglePlay,
  ',': () => stepSample(-1),
  '.': () => stepSample(1),
  '[': () => stepWrong(-1),
  ']': () => stepWrong(1),
};

/** What the performer saw, in large: the blade, its light as each candidate would have had it, and the story. */
export function ReplayView({ take }: { readonly take: OpenTake }) {
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: keys of all that it holds
    <div class="replay" onKeyDown={onKey}>
      <section class="card replay-card" aria-label="Replay">
        <header>
          <h2>Replay</h2>
          <span class="unit">wide trail: guard closed · dashed: open · the heading is arbitrary</span>
          <button type="button" class="small" onClick={() => (bladeView.value = FIRST_VIEW)}>
            Reset view
          </button>
        </header>
        <Player take={take}>
          <EventWords />
        </Player>
      </section>
      <StoryCard take={take} />
    </div>
  );
}

const isUnfolded = signal(false);

/** The same in small, beside the staves; nothing of it is computed while it is folded. */
export function ReplayFold({ take }: { readonly take: OpenTake }) {
  return (
    <details
      class="card replay-fold"
      open={isUnfolded.value}
      onToggle={(event) => (isUnfolded.value = event.currentTarget.open)}
    >
      <summary>
        <h2>Replay</h2>
      </summary>
      {isUnfolded.value && (
        // biome-ignore lint/a11y/noStaticElementInteractions: keys of all that it holds
        <div onKeyDown={onKey}>
          <Player key={take.document.id} take={take}>
            <StoryLines take={take} />
            <p>
              <button
                type="button"
                class="small"
                onClick={() => dispatch({ type: 'viewChosen', view: 'replay' })}
              >
                In large, with the story
              </button>
            </p>
          </Player>
        </div>
      )}
    </details>
  );
}

function Player({ take, children }: { readonly take: OpenTake; readonly children: ComponentChildren }) {
  usePlayer();
  const { path, error } = useBladePath(take);
  return (
    <div class="player">
      {error !== null && <p class="caution-line">The blade cannot be followed: {error}</p>}
      <BladeStage path={path} />
      <Transport />
      <NowWords path={path} />
      {children}
    </div>
  );
}

/** Keys while the focus is on anything of the replay; a button's own Space stays its own. */
function onKey(event: KeyboardEvent): void {
  const command = KEYS[event.key];
  const isButton =
    event.target instanceof Element && event.target.closest('button, select, summary') !== null;
  if (!command || event.ctrlKey || event.metaKey || event.altKey || (event.key === ' ' && isButton)) return;
  event.preventDefault();
  command();
}
