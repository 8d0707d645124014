import type { ComponentChildren } from 'preact';
import type { Span } from '../../../server/engine/base/log.ts';
import type { LightState } from '../../../server/engine/replay/light.ts';
import { moment } from '../../../server/engine/words/count.ts';
import { wrongWords } from '../../../server/engine/words/story.ts';
import { spanPath, tickPath } from '../../charts/laneShapes.ts';
import { wholeTake } from '../../charts/view.ts';
import type { Slot } from '../../state/model.ts';
import type { OpenTake } from '../../state/openTake.ts';
import { playheadUs } from '../../state/playhead.ts';
import { shownSlots, shownWrongs, stories } from '../../state/story.ts';
import { useSize } from '../useSize.ts';
import { showMoment, stepTime } from './player.ts';

const ROW = 30;
const STATES: readonly (readonly [LightState, number, number])[] = [
  ['lit', 8, 12],
  ['dark', 13, 2],
  ['wronglyDark', 8, 12],
  ['unknown', 12, 4],
];
const STEP_US = 100_000;

/** The take as a line of states for each candidate in sight; the playhead is taken hold of here. */
export function StoryLines({ take }: { readonly take: OpenTake }) {
  const { ref, width } = useSize();
  const whole = wholeTake(take.durationUs);
  const slots = shownSlots.value;
  const height = ROW * slots.length;
  const go = (event: PointerEvent): void => {
    const line = event.currentTarget as HTMLElement;
    if (event.type === 'pointerdown') line.setPointerCapture(event.pointerId);
    if (!line.hasPointerCapture(event.pointerId) || width === 0) return;
    showMoment(((event.clientX - line.getBoundingClientRect().left) / width) * whole.endUs);
  };
  const onKey = (event: KeyboardEvent): void => {
    const sign = event.key === 'ArrowLeft' ? -1 : event.key === 'ArrowRight' ? 1 : 0;
    if (sign !== 0) stepTime(sign * STEP_US * (event.shiftKey ? 10 : 1));
    else if (event.key === 'Home') showMoment(0);
    else if (event.key === 'End') showMoment(take.durationUs);
    else return;
    event.preventDefault();
  };
  return (
    <div class="story-lines" style={{ height: `${height}px` }}>
      <div class="story-names">
        {slots.map((slot) => (
          <span key={slot}>{slots.length > 1 ? slot.toUpperCase() : 'Light'}</span>
        ))}
      </div>
      <Slider rootRef={ref} take={take} onPointer={go} onKey={onKey}>
        {width > 0 && (
          <svg width={width} height={height} aria-hidden="true">
            {slots.map((slot, k) => (
              <g key={slot} transform={`translate(0 ${k * ROW})`} data-story={slot}>
                <StateRow slot={slot} window={whole} width={width} />
              </g>
            ))}
          </svg>
        )}
        <PlayheadMark durationUs={whole.endUs} />
      </Slider>
    </div>
  );
}

function Slider(props: {
  readonly rootRef: { current: HTMLDivElement | null };
  readonly take: OpenTake;
  readonly onPointer: (event: PointerEvent) => void;
  readonly onKey: (event: KeyboardEvent) => void;
  readonly children: ComponentChildren;
}) {
  return (
    <div
      class="story-slider"
      ref={props.rootRef}
      role="slider"
      tabIndex={0}
      aria-label="Moment of the take"
      aria-valuemin={0}
      aria-valuemax={props.take.durationUs / 1e6}
      aria-valuenow={(playheadUs.value ?? 0) / 1e6}
      aria-valuetext={moment(playheadUs.value ?? 0)}
      onPointerDown={props.onPointer}
      onPointerMove={props.onPointer}
      onKeyDown={props.onKey}
    >
      {props.children}
    </div>
  );
}

function StateRow({ slot, window, width }: { slot: Slot; window: Span; width: number }) {
  const story = stories[slot].value;
  if (!story) return null;
  const ofState = (state: LightState) => story.light.filter((span) => span.state === state);
  const wrongs = shownWrongs.value.filter((one) => one.slot === slot);
  return (
    <>
      {STATES.map(([state, top, high]) => (
        <path key={state} class={`story-${state}`} d={spanPath(ofState(state), window, width, top, high)} />
      ))}
      <path
        class="story-deflecting"
        d={tickPath(
          story.deflecting.map(({ startUs }) => startUs),
          window,
          width,
          1,
          6,
        )}
      />
      {wrongs.map((wrong, k) => (
        <path
          // Two detectors may go wrong in one way at one moment.
          key={`${k} ${wrong.kind} ${wrong.timeUs}`}
          class="story-wrong"
          data-wrong={wrong.kind}
          transform={`translate(${(wrong.timeUs / window.endUs) * width} 25)`}
          d="M0 -4L4 3H-4z"
        >
          <title>{`${moment(wrong.timeUs)}: ${wrongWords(wrong)}`}</title>
        </path>
      ))}
    </>
  );
}

function PlayheadMark({ durationUs }: { readonly durationUs: number }) {
  const at = playheadUs.value;
  if (at === null) return null;
  return <i class="story-playhead" style={{ left: `${(at / durationUs) * 100}%` }} />;
}
