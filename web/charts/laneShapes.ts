import type { Span } from '../../server/engine/base/log.ts';
import { firstAtOrAfter, firstWhere } from '../../server/engine/statistics/sorted.ts';
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

/** Closer together they are one: a third of a pixel. */
const SPANS_APART_PX = 0.34;

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
  let fromUs = Number.NaN;
  let toUs = Number.NaN;
  const perUs = width / (window.endUs - window.startUs);
  const apartUs = SPANS_APART_PX / perUs;
  const flush = (): void => {
    if (Number.isNaN(fromUs)) return;
    const from = Math.max(-1, (fromUs - window.startUs) * perUs);
    const to = Math.min(width + 1, (toUs - window.startUs) * perUs);
    const left = inTenths(from);
    path += `M${left} ${top}h${inTenths(Math.max(0.6, to - from))}v${height}H${left}z`;
  };
  const first = firstWhere(spans.length, (k) => spans.at(k)!.endUs >= window.startUs);
  for (let i = first; i < spans.length; i++) {
    const { startUs, endUs } = spans.at(i)!;
    if (startUs > window.endUs) break;
    if (startUs - toUs < apartUs) {
      if (endUs > toUs) toUs = endUs;
    } else {
      flush();
      fromUs = startUs;
      toUs = endUs;
    }
  }
  flush();
  return path;
}

/** Numbers as they are written into paths, by tenths from `LEAST_TENTH` on. */
const LEAST_TENTH = -1000;
const MOST_TENTH = 30_000;
const written = new Array<string | undefined>(MOST_TENTH - LEAST_TENTH);

/**
 * A length to a tenth of a pixel, finer than anything is painted. Paths are written anew in every frame of a zoom, and
 * turning a number into its digits would be most of that.
 */
export function inTenths(px: number): string {
  const tenths = Math.round(px * 10);
  if (!(tenths >= LEAST_TENTH && tenths < MOST_TENTH)) return String(tenths / 10);
  const known = written[tenths - LEAST_TENTH] ?? String(tenths / 10);
  written[tenths - LEAST_TENTH] = known;
  return known;
}

/** Strokes are two pixels wide: closer together than this they are one. */
const STROKES_APART_PX = 1.5;

/** One SVG path of upright strokes at moments in time order. */
export function tickPath(
  timesUs: readonly number[],
  window: TimeWindow,
  width: number,
  top: number,
  bottom: number,
): string {
  let path = '';
  let lastUs = Number.NEGATIVE_INFINITY;
  const apartUs = (STROKES_APART_PX / width) * (window.endUs - window.startUs);
  for (let k = firstAtOrAfter(timesUs, window.startUs); k < timesUs.length; ++k) {
    const tUs = timesUs[k]!;
    if (tUs > window.endUs) break;
    if (tUs - lastUs < apartUs) continue;
    lastUs = tUs;
    path += `M${inTenths(xOf(tUs, window, width))} ${top}V${bottom}`;
  }
  return path;
}
