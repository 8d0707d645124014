import { isDragging } from '../charts/cursor.ts';
import { dispatch } from '../state/store.ts';

/**
 * Follows a pointer from where it went down on a handle, at most once a frame, until it comes up. Escape takes back
 * all steps of the gesture, and a chart keeps its range while it lasts.
 * @param gesture  names the steps that `move` dispatches.
 */
export function followDrag(
  event: PointerEvent,
  gesture: string,
  move: (clientX: number, clientY: number) => void,
): void {
  event.preventDefault();
  const handle = event.currentTarget as HTMLElement;
  handle.focus();
  handle.setPointerCapture(event.pointerId);
  isDragging.value = true;
  const ended = new AbortController();
  const { signal } = ended;
  let frame = 0;
  let last = event;
  const moveNow = (): void => {
    frame = 0;
    move(last.clientX, last.clientY);
  };
  const end = (): void => {
    ended.abort();
    cancelAnimationFrame(frame);
    isDragging.value = false;
  };
  handle.addEventListener(
    'pointermove',
    (moved) => {
      last = moved;
      frame ||= requestAnimationFrame(moveNow);
    },
    { signal },
  );
  handle.addEventListener(
    'pointerup',
    () => {
      if (frame) moveNow();
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
      dispatch({ type: 'gestureCancelled', gesture });
    },
    { signal, capture: true },
  );
}
