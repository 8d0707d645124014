import { moment } from '../../../server/engine/words/count.ts';
import { openTake } from '../../state/openTake.ts';
import { isPlaying, PLAY_SPEEDS, playheadUs, playSpeed } from '../../state/playhead.ts';
import { shownWrongs } from '../../state/story.ts';
import { stepSample, stepTime, stepWrong, togglePlay } from './player.ts';
import { stillsOnly } from './stillsOnly.ts';

const STILL_US = 100_000;

/** Play and pause, speed, steps by sample, and jumps to what went wrong. */
export function Transport() {
  const wrongs = shownWrongs.value.length;
  return (
    <div class="transport">
      <button
        type="button"
        class="small"
        title="[ · the wrong moment before"
        disabled={wrongs === 0}
        onClick={() => stepWrong(-1)}
      >
        ◂ wrong
      </button>
      <button
        type="button"
        class="small"
        title=", · one sample back"
        aria-label="One sample back"
        onClick={() => stepSample(-1)}
      >
        ‹
      </button>
      {stillsOnly.value ? <StillSteps /> : <Play />}
      <button
        type="button"
        class="small"
        title=". · one sample on"
        aria-label="One sample on"
        onClick={() => stepSample(1)}
      >
        ›
      </button>
      <button
        type="button"
        class="small"
        title="] · the next wrong moment"
        disabled={wrongs === 0}
        onClick={() => stepWrong(1)}
      >
        wrong ▸
      </button>
      {!stillsOnly.value && <Speed />}
      <Clock />
    </div>
  );
}

function Play() {
  return (
    <button type="button" class="small main play" title="Space" onClick={togglePlay}>
      {isPlaying.value ? 'Pause' : 'Play'}
    </button>
  );
}

/** In place of playing, where the system asks for less motion. */
function StillSteps() {
  return (
    <>
      <button type="button" class="small" onClick={() => stepTime(-STILL_US)}>
        −0.1 s
      </button>
      <button type="button" class="small" onClick={() => stepTime(STILL_US)}>
        +0.1 s
      </button>
    </>
  );
}

function Speed() {
  return (
    <select
      aria-label="Speed of the replay"
      value={playSpeed.value}
      onChange={(event) => (playSpeed.value = Number(event.currentTarget.value))}
    >
      {PLAY_SPEEDS.map((speed) => (
        <option key={speed} value={speed}>
          {speed} ×
        </option>
      ))}
    </select>
  );
}

function Clock() {
  const at = playheadUs.value ?? 0;
  return (
    <output class="replay-clock" aria-live="off">
      {(at / 1e6).toFixed(3)} <span class="quiet">of {moment(openTake.value?.durationUs ?? 0)}</span>
    </output>
  );
}
