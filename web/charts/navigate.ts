import type { TimeWindow } from '../state/model.ts';
import { cursorUs, isDragging } from './cursor.ts';
import { AXIS_HEIGHT, GUTTER_LEFT, GUTTER_RIGHT } from './geometry.ts';
import { panBy, wholeTake, zoomAbout } from './view.ts';

/** What pointer navigation reads and what it asks for. */
export interface Navigation {
  window(): TimeWindow;
  durationUs(): number;
  moveTo(window: TimeWindow | null): void;
  /** Paints the band of a zoom being drawn, in pixels from the plots' left; null takes it away. */
  showBand(band: { left: number; width: number } | null): void;
}

const CLICK_PX = 4;

/**
 * Wheel and pinch zoom about the pointer, a drag across a plot zooms to it, a drag along a time axis (or with Shift)
 * pans, a double click shows all. One handler for the whole column, so that lanes and staves behave alike.
 * @returns a function that takes every listener down.
 */
export function bindNavigation(column: HTMLElement, asked: Navigation): () => void {
  const navigation = onceAFrame(asked);
  const listeners = new AbortController();
  const { signal } = listeners;
  const touches = new Map<number, number>();
  let drag: { kind: 'band' | 'pan'; startX: number; startWindow: TimeWindow; pointerId: number } | null =
    null;

  const timeAt = (x: number, plot: Plot): number => {
    const { startUs, endUs } = navigation.window();
    return startUs + ((x - plot.left) / plot.width) * (endUs - startUs);
  };

  column.addEventListener(
    'wheel',
    (event) => {
      const plot = plotOf(column);
      if (!isIn(plot, event.clientX) || isControl(event.target) || !isNavigable(event.target)) return;
      event.preventDefault();
      const isSideways = Math.abs(event.deltaX) > Math.abs(event.deltaY);
      const window = navigation.window();
      const durationUs = navigation.durationUs();
      navigation.moveTo(
        isSideways
          ? panBy(window, (event.deltaX / plot.width) * (window.endUs - window.startUs), durationUs)
          : zoomAbout(window, timeAt(event.clientX, plot), 1.0018 ** event.deltaY, durationUs),
      );
    },
    { signal, passive: false },
  );
  column.addEventListener(
    'pointerdown',
    (event) => {
      if (event.button !== 0 || isControl(event.target) || !isNavigable(event.target)) return;
      if (!isIn(plotOf(column), event.clientX)) return;
      touches.set(event.pointerId, event.clientX);
      if (touches.size > 1) {
        drag = null;
        navigation.showBand(null);
        return;
      }
      const kind = event.shiftKey || isTimeAxis(event, column) ? 'pan' : 'band';
      drag = { kind, startX: event.clientX, startWindow: navigation.window(), pointerId: event.pointerId };
    },
    { signal },
  );
  column.addEventListener(
    'pointermove',
    (event) => {
      // A line that is dragged moves up and down: the crosshair stays, and the page's layout is not asked for.
      if (isDragging.value) return;
      const plot = plotOf(column);
      const wasAt = touches.get(event.pointerId);
      if (touches.size === 2 && wasAt !== undefined) pinch(event, wasAt, plot);
      cursorUs.value = isIn(plot, event.clientX) ? timeAt(event.clientX, plot) : null;
      if (!drag || drag.pointerId !== event.pointerId) return;
      if (Math.abs(event.clientX - drag.startX) >= CLICK_PX && !column.hasPointerCapture(event.pointerId)) {
        column.setPointerCapture(event.pointerId);
      }
      if (drag.kind === 'pan') pan(event.clientX, plot);
      else if (column.hasPointerCapture(event.pointerId)) navigation.showBand(bandTo(event.clientX, plot));
    },
    { signal },
  );
  const finish = (event: PointerEvent, isDone: boolean): void => {
    touches.delete(event.pointerId);
    if (drag?.pointerId !== event.pointerId) return;
    const plot = plotOf(column);
    const band = drag.kind === 'band' ? bandTo(event.clientX, plot) : null;
    navigation.showBand(null);
    drag = null;
    if (isDone && band && band.width >= CLICK_PX) zoomToBand(band, plot);
  };
  column.addEventListener('pointerup', (event) => finish(event, true), { signal });
  column.addEventListener('pointercancel', (event) => finish(event, false), { signal });
  column.addEventListener('pointerleave', () => (cursorUs.value = null), { signal });
  column.addEventListener(
    'dblclick',
    (event) => {
      if (isNavigable(event.target) && !isControl(event.target) && isIn(plotOf(column), event.clientX))
        navigation.moveTo(null);
    },
    { signal },
  );
  return () => {
    listeners.abort();
    // The pointer may still be over it, and no event tells that it is gone.
    cursorUs.value = null;
    navigation.stop();
  };

  function pan(x: number, plot: Plot): void {
    if (!drag) return;
    const { startUs, endUs } = drag.startWindow;
    const byUs = ((drag.startX - x) / plot.width) * (endUs - startUs);
    navigation.moveTo(panBy(drag.startWindow, byUs, navigation.durationUs()));
  }

  /** From where the drag began; in pixels from the plots' left. */
  function bandTo(x: number, plot: Plot): Plot {
    const from = Math.min(Math.max(0, (drag?.startX ?? x) - plot.left), plot.width);
    const to = Math.min(Math.max(0, x - plot.left), plot.width);
    return { left: Math.min(from, to), width: Math.abs(to - from) };
  }

  function zoomToBand(band: Plot, plot: Plot): void {
    const left = plot.left + band.left;
    navigation.moveTo({
      startUs: Math.round(timeAt(left, plot)),
      endUs: Math.round(timeAt(left + band.width, plot)),
    });
  }

  function pinch(event: PointerEvent, wasAt: number, plot: Plot): void {
    const other = [...touches].find(([id]) => id !== event.pointerId)![1];
    const factor = Math.abs(wasAt - other) / Math.max(8, Math.abs(event.clientX - other));
    const aboutUs = timeAt((event.clientX + other) / 2, plot);
    navigation.moveTo(zoomAbout(navigation.window(), aboutUs, factor, navigation.durationUs()));
    touches.set(event.pointerId, event.clientX);
  }
}

/** However many events come within a frame, the window moves once: all staves are painted together, and no more often. */
function onceAFrame(asked: Navigation): Navigation & { stop(): void } {
  /** Where the window goes next; undefined where it goes nowhere. */
  let next: TimeWindow | null | undefined;
  let frame = 0;
  const move = (): void => {
    frame = 0;
    const to = next!;
    next = undefined;
    asked.moveTo(to);
  };
  return {
    ...asked,
    window: () => {
      if (next === undefined) return asked.window();
      return next ?? wholeTake(asked.durationUs());
    },
    moveTo: (to) => {
      next = to;
      frame ||= requestAnimationFrame(move);
    },
    stop: () => cancelAnimationFrame(frame),
  };
}

/** A stretch across the page, in CSS pixels. */
interface Plot {
  readonly left: number;
  readonly width: number;
}

/** Where the plots lie; asks for the page's layout, so once for each event. Cards' borders and paddings lie around them. */
function plotOf(column: HTMLElement): Plot {
  const inset = Number.parseFloat(getComputedStyle(column).getPropertyValue('--card-inset')) || 0;
  return {
    left: column.getBoundingClientRect().left + inset + GUTTER_LEFT,
    width: Math.max(1, column.clientWidth - 2 * inset - GUTTER_LEFT - GUTTER_RIGHT),
  };
}

function isIn({ left, width }: Plot, x: number): boolean {
  return x >= left && x <= left + width;
}

function isControl(target: EventTarget | null): boolean {
  return (
    target instanceof Element &&
    target.closest('button, input, select, [role="slider"], [data-mark]') !== null
  );
}

function isNavigable(target: EventTarget | null): boolean {
  return target instanceof Element && target.closest('[data-plot]') !== null;
}

function isTimeAxis(event: PointerEvent, column: HTMLElement): boolean {
  const plot = event.target instanceof Element ? event.target.closest('[data-time-axis]') : null;
  if (!plot || !column.contains(plot)) return false;
  return event.clientY > plot.getBoundingClientRect().bottom - AXIS_HEIGHT;
}
