import type { TimeWindow } from '../state/model.ts';
import { cursorUs } from './cursor.ts';
import { GUTTER_LEFT, GUTTER_RIGHT } from './geometry.ts';
import { panBy, zoomAbout } from './view.ts';

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
export function bindNavigation(column: HTMLElement, navigation: Navigation): () => void {
  const listeners = new AbortController();
  const { signal } = listeners;
  const touches = new Map<number, number>();
  let drag: { kind: 'band' | 'pan'; startX: number; startWindow: TimeWindow; pointerId: number } | null =
    null;

  const plotLeft = (): number => column.getBoundingClientRect().left + cardInset(column) + GUTTER_LEFT;
  const plotWidth = (): number =>
    Math.max(1, column.clientWidth - 2 * cardInset(column) - GUTTER_LEFT - GUTTER_RIGHT);
  const timeAt = (x: number): number => {
    const { startUs, endUs } = navigation.window();
    return startUs + ((x - plotLeft()) / plotWidth()) * (endUs - startUs);
  };
  const isInPlot = (x: number): boolean => x >= plotLeft() && x <= plotLeft() + plotWidth();

  column.addEventListener(
    'wheel',
    (event) => {
      if (!isInPlot(event.clientX) || isControl(event.target)) return;
      if (!isNavigable(event.target)) return;
      event.preventDefault();
      const isSideways = Math.abs(event.deltaX) > Math.abs(event.deltaY);
      const { startUs, endUs } = navigation.window();
      if (isSideways)
        navigation.moveTo(
          panBy(
            navigation.window(),
            (event.deltaX / plotWidth()) * (endUs - startUs),
            navigation.durationUs(),
          ),
        );
      else
        navigation.moveTo(
          zoomAbout(
            navigation.window(),
            timeAt(event.clientX),
            1.0018 ** event.deltaY,
            navigation.durationUs(),
          ),
        );
    },
    { signal, passive: false },
  );
  column.addEventListener(
    'pointerdown',
    (event) => {
      if (
        isControl(event.target) ||
        !isNavigable(event.target) ||
        !isInPlot(event.clientX) ||
        event.button !== 0
      )
        return;
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
      const wasAt = touches.get(event.pointerId);
      if (touches.size === 2 && wasAt !== undefined) pinch(event, wasAt);
      cursorUs.value = isInPlot(event.clientX) ? timeAt(event.clientX) : null;
      if (!drag || drag.pointerId !== event.pointerId) return;
      if (Math.abs(event.clientX - drag.startX) >= CLICK_PX && !column.hasPointerCapture(event.pointerId)) {
        column.setPointerCapture(event.pointerId);
      }
      if (drag.kind === 'pan') pan(event.clientX);
      else if (column.hasPointerCapture(event.pointerId)) navigation.showBand(bandTo(event.clientX));
    },
    { signal },
  );
  const finish = (event: PointerEvent, isDone: boolean): void => {
    touches.delete(event.pointerId);
    if (drag?.pointerId !== event.pointerId) return;
    const band = drag.kind === 'band' ? bandTo(event.clientX) : null;
    navigation.showBand(null);
    drag = null;
    if (isDone && band && band.width >= CLICK_PX) zoomToBand(band);
  };
  column.addEventListener('pointerup', (event) => finish(event, true), { signal });
  column.addEventListener('pointercancel', (event) => finish(event, false), { signal });
  column.addEventListener('pointerleave', () => (cursorUs.value = null), { signal });
  column.addEventListener(
    'dblclick',
    (event) => {
      if (isNavigable(event.target) && !isControl(event.target) && isInPlot(event.clientX))
        navigation.moveTo(null);
    },
    { signal },
  );
  return () => listeners.abort();

  function pan(x: number): void {
    if (!drag) return;
    const { startUs, endUs } = drag.startWindow;
    navigation.moveTo(
      panBy(drag.startWindow, ((drag.startX - x) / plotWidth()) * (endUs - startUs), navigation.durationUs()),
    );
  }

  function bandTo(x: number): { left: number; width: number } {
    const from = Math.min(Math.max(0, (drag?.startX ?? x) - plotLeft()), plotWidth());
    const to = Math.min(Math.max(0, x - plotLeft()), plotWidth());
    return { left: Math.min(from, to), width: Math.abs(to - from) };
  }

  function zoomToBand(band: { left: number; width: number }): void {
    const startUs = timeAt(plotLeft() + band.left);
    navigation.moveTo({
      startUs: Math.round(startUs),
      endUs: Math.round(timeAt(plotLeft() + band.left + band.width)),
    });
  }

  function pinch(event: PointerEvent, wasAt: number): void {
    const other = [...touches].find(([id]) => id !== event.pointerId)![1];
    const factor = Math.abs(wasAt - other) / Math.max(8, Math.abs(event.clientX - other));
    navigation.moveTo(
      zoomAbout(navigation.window(), timeAt((event.clientX + other) / 2), factor, navigation.durationUs()),
    );
    touches.set(event.pointerId, event.clientX);
  }
}

/** Cards have a border and a padding: the plots begin inside. */
function cardInset(column: HTMLElement): number {
  return Number.parseFloat(getComputedStyle(column).getPropertyValue('--card-inset')) || 0;
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
  return event.clientY > plot.getBoundingClientRect().bottom - 24;
}
