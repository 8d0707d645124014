import type { TimeWindow } from '../state/model.ts';

/** Pure arithmetic of the visible window. */

const SHORTEST_US = 20_000;

export function wholeTake(durationUs: number): TimeWindow {
  return { startUs: 0, endUs: Math.max(durationUs, SHORTEST_US) };
}

/** The window zoomed by `factor` (below 1 is closer) about a moment that stays where it is. */
export function zoomAbout(
  window: TimeWindow,
  tUs: number,
  factor: number,
  durationUs: number,
): TimeWindow | null {
  const length = Math.max(SHORTEST_US, (window.endUs - window.startUs) * factor);
  const part = (tUs - window.startUs) / (window.endUs - window.startUs);
  return clampWindow({ startUs: tUs - part * length, endUs: tUs + (1 - part) * length }, durationUs);
}

export function panBy(window: TimeWindow, byUs: number, durationUs: number): TimeWindow | null {
  return clampWindow({ startUs: window.startUs + byUs, endUs: window.endUs + byUs }, durationUs);
}

/** A window of a given length about a moment. */
export function centreOn(tUs: number, lengthUs: number, durationUs: number): TimeWindow | null {
  return clampWindow({ startUs: tUs - lengthUs / 2, endUs: tUs + lengthUs / 2 }, durationUs);
}

/** Shifts a window into the take and rounds it to whole microseconds; null where it holds all of the take. */
export function clampWindow(window: TimeWindow, durationUs: number): TimeWindow | null {
  const whole = wholeTake(durationUs);
  const length = Math.min(Math.max(SHORTEST_US, window.endUs - window.startUs), whole.endUs);
  if (length >= whole.endUs) return null;
  const startUs = Math.round(Math.min(Math.max(0, window.startUs), whole.endUs - length));
  return { startUs, endUs: Math.round(startUs + length) };
}
