import type { ComponentChildren } from 'preact';
import { isDragging } from '../../charts/cursor.ts';
import { dispatch } from '../../state/store.ts';
import type { PlotArea } from './PlotFrame.tsx';

export interface HandleProps {
  readonly area: PlotArea;
  readonly x: number;
  readonly y: number;
  /** What one arrow key changes, along x and y; 0 where it cannot move that way. */
  readonly nudge: readonly [number, number];
  readonly name: string;
  readonly valueText: string;
  readonly className: string;
  /** Where it stands, kept within the plot by the caller if need be. */
  readonly children: ComponentChildren;
  /** Names its steps, so that one drag is one step back. */
  readonly gesture: string;
  onMove(x: number, y: number, gesture: string): void;
  onGrab?(): void;
}

/** A point of a plot to drag, or to move by arrow keys; Escape takes a drag back. */
export function Handle(props: HandleProps) {
  const { area, nudge } = props;
  const left = Math.min(area.width, Math.max(0, area.x(props.x)));
  const top = Math.min(area.height, Math.max(0, area.y(props.y)));
  const onKeyDown = (event: KeyboardEvent): void => {
    const [right, up] = STEPS[event.key] ?? [0, 0];
    if (right * nudge[0] === 0 && up * nudge[1] === 0) return;
    event.preventDefault();
    const by = event.shiftKey ? 10 : 1;
    props.onMove(props.x + right * nudge[0] * by, props.y + up * nudge[1] * by, `keys ${props.gesture}`);
  };
  return (
    <div
      class={`handle ${props.className}`}
      style={{ left: `${left}px`, top: `${top}px` }}
      role="slider"
      tabIndex={0}
      aria-label={props.name}
      aria-valuenow={nudge[0] === 0 ? props.y : props.x}
      aria-valuetext={props.valueText}
      title={`${props.name}: ${props.valueText}`}
      onPointerDown={(event) => drag(event, props)}
      onKeyDown={onKeyDown}
      onClick={(event) => event.stopPropagation()}
    >
      {props.children}
    </div>
  );
}

const STEPS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowRight: [1, 0],
  ArrowLeft: [-1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

function drag(event: PointerEvent, props: HandleProps): void {
  if (event.button !== 0) return;
  event.preventDefault();
  const handle = event.currentTarget as HTMLElement;
  const plot = handle.parentElement!;
  const name = `drag ${props.gesture} ${event.timeStamp}`;
  handle.focus();
  handle.setPointerCapture(event.pointerId);
  isDragging.value = true;
  props.onGrab?.();
  const ended = new AbortController();
  let frame = 0;
  let at = { x: event.clientX, y: event.clientY };
  const move = (): void => {
    frame = 0;
    const box = plot.getBoundingClientRect();
    const within = (value: number, most: number) => Math.min(most, Math.max(0, value));
    const { x, y } = props.area;
    props.onMove(
      x.invert(within(at.x - box.left, box.width)),
      y.invert(within(at.y - box.top, box.height)),
      name,
    );
  };
  const end = (): void => {
    ended.abort();
    cancelAnimationFrame(frame);
    isDragging.value = false;
  };
  const { signal } = ended;
  handle.addEventListener(
    'pointermove',
    (moved) => {
      at = { x: moved.clientX, y: moved.clientY };
      frame ||= requestAnimationFrame(move);
    },
    { signal },
  );
  handle.addEventListener(
    'pointerup',
    () => {
      if (frame) move();
      end();
    },
    { signal },
  );
  handle.addEventListener('pointercancel', end, { signal });
  addEventListener(
    'keydown',
    (key) => {
      if (key.key !== 'Escape') return;
      key.stopPropagation();
      end();
      dispatch({ type: 'gestureCancelled', gesture: name });
    },
    { signal, capture: true },
  );
}
