import type { Span } from '../../server/engine/base/log.ts';
import { firstWhere } from '../../server/engine/statistics/sorted.ts';
import type { TimeWindow } from '../state/model.ts';

/** Maps a moment to pixels from the plots' left. */
export function xOf(tUs: number, window: TimeWindow, width: number): number {
  return ((tUs - window.startUs) / (window.endUs - window.startUs)) * width;
}

/** Spans in time order, as a list or made one by one when they are looked at. */
export interface Spans {
  readonly length: number;
  at(place: number): Span | undefined;
}

/**
 * One SVG path of rectangles for the spans in sight. Spans are in time order; those closer than a third of a pixel
 * are drawn as one, so that an hour's view costs no more than a second's.
 */
export function spanPath(
  spans: Spans,
  window: TimeWindow,
  width: number,
  top: number,
  height: number,
): string {
  let path = '';
  let from = Number.NaN;
  let to = Number.NaN;
  const flush = (): void => {
    if (Number.isNaN(from)) return;
    path += `M${from.toFixed(2)} ${top}h${Math.max(0.6, to - from).toFixed(2)}v${height}H${from.toFixed(2)}z`;
  };
  const first = firstWhere(spans.length, (k) => spans.at(k)!.endUs >= window.startUs);
  for (let i = first; i < spans.length; i++) {
    const span = spans.at(i)!;
    if (span.startUs > window.endUs) break;
    const left = Math.max(-1, xOf(span.startUs, window, width));
    const right = Math.min(width + 1, xOf(span.endUs, window, width));
    if (left - to < 0.34) to = Math.max(to, right);
    else {
      flush();
      from = left;
      to = right;
    }
  }
  flush();
  return path;
}

/** One SVG path of upright strokes at moments in time order. */
export function tickPath(
  timesUs: readonly number[],
  window: TimeWindow,
  width: number,
  top: number,
  bottom: number,
): string {
  let path = '';
  let last = Number.NEGATIVE_INFINITY;
  for (const tUs of timesUs) {
    if (tUs < window.startUs || tUs > window.endUs) continue;
    const x = xOf(tUs, window, width);
    if (x - last < 0.34) continue;
    last = x;
    path += `M${x.toFixed(2)} ${top}V${bottom}`;
  }
  return path;
}
