import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import { FIRST_VIEW, turnView } from '../../../server/engine/replay/projection.ts';
import { bladeView } from '../../state/playhead.ts';
import { shownSlots } from '../../state/story.ts';
import { useSize } from '../useSize.ts';
import { LightHold } from './lightHold.ts';
import { isStacked, type StageRoom } from './stagePainter.ts';

const KEY_DEG = 10;
const DEG_PER_PX = 0.5;
const TURNS: Readonly<Record<string, readonly [yaw: number, pitch: number]>> = {
  ArrowLeft: [-KEY_DEG, 0],
  ArrowRight: [KEY_DEG, 0],
  ArrowUp: [0, KEY_DEG],
  ArrowDown: [0, -KEY_DEG],
};

interface StageProps {
  /** Begins to paint, once there is room. @returns a function that ends it */
  readonly bind: ((canvas: HTMLCanvasElement, room: StageRoom) => () => void) | null;
  readonly children?: ComponentChildren;
}

/** The blade in space, of each candidate in sight, beside one another; turned by a drag or the arrow keys. */
export function StageCanvas({ bind, children }: StageProps) {
  const { ref, width, height } = useSize();
  const canvas = useRef<HTMLCanvasElement>(null);
  // Outlives a change of size: what is on screen does, too.
  const hold = useRef(new LightHold());
  const slots = shownSlots.value;

  useEffect(() => {
    if (!canvas.current || !bind || width === 0) return;
    return bind(canvas.current, { width, height, hold: hold.current });
  }, [bind, width, height]);

  const turnByKey = (event: KeyboardEvent): void => {
    const turn = TURNS[event.key];
    if (!turn || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    bladeView.value = turnView(bladeView.peek(), ...turn);
  };
  const drag = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
  };
  const turnByDrag = (event: PointerEvent): void => {
    if (!(event.currentTarget as Element).hasPointerCapture(event.pointerId)) return;
    bladeView.value = turnView(bladeView.peek(), -event.movementX * DEG_PER_PX, event.movementY * DEG_PER_PX);
  };
  return (
    <div class={`blade-stage ${isStacked({ width, height }) ? 'is-stacked' : ''}`} ref={ref}>
      <canvas
        ref={canvas}
        role="img"
        tabIndex={0}
        aria-label="The blade in space, the trail of its tip behind it. Arrow keys turn the view."
        style={{ width: `${width}px`, height: `${height}px` }}
        onKeyDown={turnByKey}
        onPointerDown={drag}
        onPointerMove={turnByDrag}
        onDblClick={() => (bladeView.value = FIRST_VIEW)}
      />
      {slots.length > 1 && slots.map((slot) => <b key={slot}>{slot.toUpperCase()}</b>)}
      {children}
    </div>
  );
}
