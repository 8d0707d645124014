import type { VNode } from 'preact';
import { useMemo } from 'preact/hooks';
import {
  GESTURE_DETECTOR_IDS,
  type GestureDetectorId,
  gestureDetector,
} from '../../server/engine/detect/detectors.ts';
import type { Signals } from '../../server/engine/motion/signals.ts';
import { reasonOf } from '../../server/engine/words/events.ts';
import { tickPath, xOf } from '../charts/laneShapes.ts';
import { formatMoment } from '../charts/stave.ts';
import type { Slot, TimeWindow } from '../state/model.ts';
import { candidates } from '../state/store.ts';
import type { Verdicts } from '../state/verdicts.ts';
import { gestureLook } from './detectorLooks.ts';
import { showHint } from './hint.tsx';

/** The mark of a detector, about the origin. */
export function GestureMark({ id, slot = 'a' }: { readonly id: GestureDetectorId; readonly slot?: Slot }) {
  const { mark, isFilled } = gestureLook(id);
  return (
    <path
      class={`gesture ${isFilled ? 'is-filled' : ''} ${slot === 'b' ? 'is-b' : ''}`}
      style={{ '--hue': `var(--${id})` }}
      d={mark}
    />
  );
}

interface MarksProps {
  readonly slot: Slot;
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly width: number;
  readonly y: number;
  readonly scale: number;
}

/** Where a candidate's detectors of gestures fire. */
export function GestureMarks(props: MarksProps) {
  return (
    <g data-lane={`gestures-${props.slot}`}>
      {GESTURE_DETECTOR_IDS.map((id) => (
        <Fired key={id} id={id} {...props} />
      ))}
    </g>
  );
}

/** Kept while its fires are the same. */
function Fired({
  slot,
  id,
  verdict,
  window,
  width,
  y,
  scale,
}: MarksProps & { readonly id: GestureDetectorId }) {
  const { signals, fires } = verdict;
  const marks = (): VNode => (
    <g>
      {Array.from(fires[id], (index) => {
        const tUs = signals.timeUs[index]!;
        if (tUs < window.startUs || tUs > window.endUs) return null;
        const x = xOf(tUs, window, width) - (gestureLook(id).aheadPx ?? 0) * scale;
        return (
          <g
            key={index}
            data-mark
            data-gesture={`${slot}.${id}`}
            transform={`translate(${x} ${y}) scale(${scale})`}
            onPointerEnter={() => hintOf(slot, id, signals, index, x, y)}
            onPointerLeave={() => showHint(null)}
          >
            <rect class="reach" x={-7} y={-7} width={14} height={14} />
            <GestureMark id={id} slot={slot} />
          </g>
        );
      })}
    </g>
  );
  return useMemo(marks, [fires[id], signals, window, width, y, scale]);
}

function hintOf(slot: Slot, id: GestureDetectorId, signals: Signals, index: number, x: number, y: number) {
  const { name, factsOf } = gestureDetector(id);
  const title = `${name}, candidate ${slot.toUpperCase()}, at ${formatMoment(signals.timeUs[index]!, 3)}`;
  const facts = factsOf(signals, index, candidates[slot].peek());
  showHint({ x, y, title, text: reasonOf(id, facts as never) });
}

/** The dial's steps at the foot of the twist stave: strokes above the middle turn it up, those below turn it down. */
export function DialTicks(props: {
  readonly verdict: Verdicts;
  readonly window: TimeWindow;
  readonly width: number;
  readonly height: number;
}) {
  const { verdict, window, width, height } = props;
  const { dial, signals } = verdict;
  const timesOf = (sign: 1 | -1) =>
    dial.filter(({ steps }) => Math.sign(steps) === sign).map(({ index }) => signals.timeUs[index]!);
  const [up, down] = useMemo(() => [timesOf(1), timesOf(-1)], [dial, signals]);
  const middle = height - 6;
  return (
    <svg class="dial-ticks" width={width} height={height} aria-hidden="true">
      <path data-dial="up" d={tickPath(up, window, width, middle - 5, middle - 0.5)} />
      <path data-dial="down" d={tickPath(down, window, width, middle + 0.5, middle + 5)} />
    </svg>
  );
}

/** The dial's steps over the take, in words. */
export function dialWords({ dial }: Pick<Verdicts, 'dial'>): string {
  const [up, down] = dialCounts(dial);
  return up + down === 0 ? 'no dial steps' : `dial: ${up} up, ${down} down`;
}

function dialCounts(dial: Verdicts['dial']): [number, number] {
  let [up, down] = [0, 0];
  for (const { steps } of dial) {
    if (steps > 0) up += steps;
    else down -= steps;
  }
  return [up, down];
}
