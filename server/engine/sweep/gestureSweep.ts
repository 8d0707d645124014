import type { ConfirmedGestures } from '../labels/confirmedGestures.ts';
import type { Signals } from '../motion/signals.ts';
import { GestureMatch } from '../score/gestureMatch.ts';
import { quantileSorted } from '../statistics/sorted.ts';
import { checkedAxis } from './axis.ts';

/**
 * A gesture detector's scores over a grid of two settings. Grids are row-major: the cell of x and y stands at
 * x * ys + y. Where no gesture fires, the delay is NaN.
 */
export interface GestureSweep {
  readonly xs: Float64Array;
  readonly ys: Float64Array;
  /** Confirmed gestures, the same in every cell. */
  readonly gestures: number;
  readonly missed: Int32Array;
  /** Fires beyond the first of a gesture. */
  readonly again: Int32Array;
  /** Fires that belong to no gesture, where the labels tell that there is none. */
  readonly outside: Int32Array;
  readonly delayMedianMs: Float64Array;
}

/**
 * What `scoreGestures` would give at every x and y.
 * @param args  `firesAt` gives, for a value of y, the indices of the fires at each x, in the order of `xs`.
 * @throws RangeError  on an axis that is empty, not finite or does not rise.
 */
export function sweepGestures(args: {
  readonly timeUs: Signals['timeUs'];
  readonly confirmed: ConfirmedGestures;
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  firesAt(y: number, xs: Float64Array): readonly ArrayLike<number>[];
}): GestureSweep {
  const { timeUs, confirmed } = args;
  const [xs, ys] = [checkedAxis('xs', args.xs), checkedAxis('ys', args.ys)];
  const grid = emptyGrid(xs, ys, confirmed.gestures.length);
  const match = new GestureMatch(confirmed);
  ys.forEach((y, row) => {
    let last: ArrayLike<number> | null = null;
    args.firesAt(y, xs).forEach((fires, column) => {
      const cell = column * ys.length + row;
      if (last !== null && isSame(fires, last)) copyCell(grid, cell - ys.length, cell);
      else fillCell(grid, cell, match, confirmed, fires, timeUs);
      last = fires;
    });
  });
  return grid;
}

function emptyGrid(xs: Float64Array, ys: Float64Array, gestures: number): GestureSweep {
  const cells = xs.length * ys.length;
  return {
    xs,
    ys,
    gestures,
    missed: new Int32Array(cells),
    again: new Int32Array(cells),
    outside: new Int32Array(cells),
    delayMedianMs: new Float64Array(cells).fill(Number.NaN),
  };
}

function fillCell(
  grid: GestureSweep,
  cell: number,
  match: GestureMatch,
  { gestures }: ConfirmedGestures,
  fires: ArrayLike<number>,
  timeUs: Float64Array,
): void {
  match.assign(Float64Array.from(fires, (index) => timeUs[index]!));
  const delaysMs = match.fireUs
    .map((us, i) => (us - gestures[i]!.startUs) / 1000)
    .filter((ms) => !Number.isNaN(ms))
    .sort();
  grid.missed[cell] = gestures.length - delaysMs.length;
  grid.again[cell] = match.againUs.length;
  grid.outside[cell] = match.outsideUs.length;
  grid.delayMedianMs[cell] = delaysMs.length === 0 ? Number.NaN : quantileSorted(delaysMs, 0.5);
}

function copyCell({ missed, again, outside, delayMedianMs }: GestureSweep, from: number, to: number): void {
  for (const column of [missed, again, outside, delayMedianMs]) column[to] = column[from]!;
}

function isSame(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; ++i) if (a[i] !== b[i]) return false;
  return true;
}
