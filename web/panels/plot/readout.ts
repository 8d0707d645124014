import { useState } from 'preact/hooks';
import { firstAtOrAfter } from '../../../server/engine/statistics/sorted.ts';
import type { PlotArea, Point } from '../../charts/scale.ts';

/** The places of a plot that can be read, numbered. */
interface Places {
  /** The place to read at a pixel; null where none is near. */
  find(x: number, y: number, area: PlotArea): number | null;
  /** The place that an arrow key leads to, so many to the right or upwards. */
  step(at: number | null, right: number, up: number): number | null;
  /** The value along x where a line shows what is read. */
  lineAt?(at: number): number;
  /** The point that a ring shows. */
  ringAt?(at: number): Point;
}

/** The reading of a plot, by pointing at it or by arrow keys. */
export interface Readout extends Places {
  readonly at: number | null;
  /** Words for the place; shown in the plot itself unless the page has another place for them. */
  readonly text: string;
  readonly isInPlot: boolean;
  onRead(at: number | null): void;
  /** A click, or Enter. */
  onChoose?(at: number): void;
}

/** @param text  what stands at a place. */
export function useReadout(places: Places, text: (at: number) => string, isInPlot = true): Readout {
  const [at, onRead] = useState<number | null>(null);
  return { ...places, at, text: at === null ? '' : text(at), isInPlot, onRead };
}

/** Curves at the same rising places along x. */
export function curvePlaces(xs: ArrayLike<number>): Places {
  const last = xs.length - 1;
  return {
    find: (x, _y, area) => {
      if (last < 0) return null;
      const after = Math.min(last, firstAtOrAfter(xs, area.x.invert(x)));
      const before = Math.max(0, after - 1);
      return x - area.x(xs[before]!) < area.x(xs[after]!) - x ? before : after;
    },
    step: (at, right) => (last < 0 ? null : at === null ? last >> 1 : within(at + right, last)),
    lineAt: (at) => xs[at] ?? Number.NaN,
  };
}

/** Points anywhere; arrow keys to the left and right take them in the order of x. */
export function pointPlaces(points: readonly Point[], reachPx: number): Places {
  return {
    find: (x, y, area) => {
      let best: number | null = null;
      let least = reachPx;
      points.forEach((point, k) => {
        const distance = Math.hypot(area.x(point[0]) - x, area.y(point[1]) - y);
        if (distance < least) [best, least] = [k, distance];
      });
      return best;
    },
    step: (at, right) => {
      const order = points.map((_, k) => k).sort((a, b) => points[a]![0] - points[b]![0]);
      const from = at === null ? -1 : order.indexOf(at);
      return order[from < 0 ? 0 : within(from + right, order.length - 1)] ?? null;
    },
    ringAt: (at) => points[at] ?? [Number.NaN, Number.NaN],
  };
}

/** The cells of a map over two settings, numbered x first, y fastest. */
export function cellPlaces(xs: ArrayLike<number>, ys: ArrayLike<number>): Places {
  const nearest = (value: number, values: ArrayLike<number>) =>
    within(Math.round((value - values[0]!) / (values[1]! - values[0]!)), values.length - 1);
  return {
    find: (x, y, area) => nearest(area.x.invert(x), xs) * ys.length + nearest(area.y.invert(y), ys),
    step: (at, right, up) => {
      const from = at ?? (xs.length >> 1) * ys.length + (ys.length >> 1);
      const i = within(Math.floor(from / ys.length) + right, xs.length - 1);
      return i * ys.length + within((from % ys.length) + up, ys.length - 1);
    },
    ringAt: (at) => [xs[Math.floor(at / ys.length)]!, ys[at % ys.length]!],
  };
}

/** Steps of an arrow key to the right and upwards; null for another key. */
export function arrowOf({
  key,
  shiftKey,
}: Pick<KeyboardEvent, 'key' | 'shiftKey'>): readonly [number, number] | null {
  const by = shiftKey ? 10 : 1;
  switch (key) {
    case 'ArrowRight':
      return [by, 0];
    case 'ArrowLeft':
      return [-by, 0];
    case 'ArrowUp':
      return [0, by];
    case 'ArrowDown':
      return [0, -by];
    default:
      return null;
  }
}

export function within(value: number, most: number): number {
  return Math.min(most, Math.max(0, value));
}
