import type { ComponentChildren } from 'preact';
import type { PlotArea } from '../../charts/scale.ts';
import { followDrag } from '../followDrag.ts';
import { arrowOf, within } from './readout.ts';

interface HandleProps {
  readonly area: PlotArea;
  readonly x: number;
  readonly y: number;
  /** Change by one arrow key, along x and y; 0 where it cannot move that way. */
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
  const left = within(area.x(props.x), area.width);
  const top = within(area.y(props.y), area.height);
  const onKeyDown = (event: KeyboardEvent): void => {
    const [right, up] = arrowOf(event) ?? [0, 0];
    if (right * nudge[0] === 0 && up * nudge[1] === 0) return;
    event.preventDefault();
    props.onMove(props.x + right * nudge[0], props.y + up * nudge[1], `keys ${props.gesture}`);
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
    >
      {props.children}
    </div>
  );
}

function drag(event: PointerEvent, props: HandleProps): void {
  if (event.button !== 0) return;
  const plot = (event.currentTarget as HTMLElement).parentElement!;
  const gesture = `drag ${props.gesture} ${event.timeStamp}`;
  props.onGrab?.();
  followDrag(event, gesture, (clientX, clientY) => {
    const box = plot.getBoundingClientRect();
    const { x, y } = props.area;
    props.onMove(
      x.invert(within(clientX - box.left, box.width)),
      y.invert(within(clientY - box.top, box.height)),
      gesture,
    );
  });
}
