import type { Span } from '../../../server/engine/base/log.ts';
import type { TimeWindow } from '../../state/model.ts';

const CLICK_PX = 4;

/** The effect of a drag along the time axis; the spans are whole microseconds inside the take. */
interface SpanDrag {
  readonly window: TimeWindow;
  /** Width of the plot in pixels, and its left edge on the page. */
  readonly width: number;
  readonly left: number;
  readonly durationUs: number;
  /** The end that stays, for a drag that moves the other; without it both come from the drag. */
  readonly fixedUs?: number;
  onDraft(span: Span | null): void;
  onDone(span: Span): void;
  /** The pointer came up where it went down. */
  onClick?(momentUs: number): void;
}

/** Follows a pointer from where it went down; Escape takes the drag back. */
export function dragSpan(event: PointerEvent, drag: SpanDrag): void {
  if (event.button !== 0) return;
  event.preventDefault();
  event.stopPropagation();
  const handle = event.currentTarget as Element;
  handle.setPointerCapture(event.pointerId);
  const ended = new AbortController();
  const { signal } = ended;
  const fromUs = drag.fixedUs ?? timeAt(event.clientX, drag);
  let hasMoved = false;
  const spanTo = (clientX: number): Span => {
    const toUs = timeAt(clientX, drag);
    return { startUs: Math.min(fromUs, toUs), endUs: Math.max(fromUs, toUs) };
  };
  const finish = (): void => {
    ended.abort();
    drag.onDraft(null);
  };
  handle.addEventListener(
    'pointermove',
    (moved) => {
      const { clientX } = moved as PointerEvent;
      hasMoved ||= Math.abs(clientX - event.clientX) >= CLICK_PX;
      if (hasMoved) drag.onDraft(spanTo(clientX));
    },
    { signal },
  );
  handle.addEventListener(
    'pointerup',
    (up) => {
      const span = spanTo((up as PointerEvent).clientX);
      finish();
      if (hasMoved && span.endUs > span.startUs) drag.onDone(span);
      else drag.onClick?.(timeAt(event.clientX, drag));
    },
    { signal },
  );
  handle.addEventListener('pointercancel', finish, { signal });
  addEventListener(
    'keydown',
    (key) => {
      if (key.key !== 'Escape') return;
      key.stopPropagation();
      finish();
    },
    { signal, capture: true },
  );
}

function timeAt(clientX: number, { window, width, left, durationUs }: SpanDrag): number {
  const part = Math.min(1, Math.max(0, (clientX - left) / width));
  const momentUs = window.startUs + part * (window.endUs - window.startUs);
  return Math.round(Math.min(durationUs, Math.max(0, momentUs)));
}
