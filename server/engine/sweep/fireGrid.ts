import { quantileSorted } from '../statistics/sorted.ts';
import { checkedAxis } from './axis.ts';
import type { SweepGrid } from './grid.ts';

/** A grid of a detector that fires: where nothing fires that should, the delay is NaN. */
export interface FireGrid<Part extends string = string, Size extends string = string>
  extends SweepGrid<Part, Size> {
  readonly wrong: Readonly<Record<Part, Int32Array>>;
  readonly timesMs: { readonly delayMedianMs: Float64Array };
}

/** What one list of fires comes to. */
interface FireCounts<Part extends string> {
  readonly wrong: Readonly<Record<Part, number>>;
  /** Time from the start of each swing or gesture that fires to its first fire. */
  readonly delaysMs: Float64Array;
}

/**
 * Fires over a grid, counted cell by cell.
 * @param args  `firesAt` gives, for a value of y, the indices of the fires at each x, in the order of `xs`; `count` is
 * given them in µs, and its delays are sorted in place.
 * @throws RangeError  on an axis that is empty, not finite or does not rise.
 */
export function sweepFireGrid<Part extends string, Size extends string>(args: {
  readonly timeUs: Float64Array;
  readonly xs: readonly number[];
  readonly ys: readonly number[];
  readonly sizes: Readonly<Record<Size, number>>;
  readonly parts: readonly Part[];
  firesAt(y: number, xs: Float64Array): readonly ArrayLike<number>[];
  count(fireUs: Float64Array): FireCounts<Part>;
}): FireGrid<Part, Size> {
  const { timeUs, parts, sizes } = args;
  const [xs, ys] = [checkedAxis('xs', args.xs), checkedAxis('ys', args.ys)];
  const cells = xs.length * ys.length;
  const wrong = Object.fromEntries(parts.map((part) => [part, new Int32Array(cells)])) as Record<
    Part,
    Int32Array
  >;
  const delayMedianMs = new Float64Array(cells).fill(Number.NaN);
  ys.forEach((y, row) => {
    let last: ArrayLike<number> | null = null;
    args.firesAt(y, xs).forEach((fires, column) => {
      const cell = column * ys.length + row;
      if (last !== null && isSame(fires, last)) {
        for (const part of parts) wrong[part][cell] = wrong[part][cell - ys.length]!;
        delayMedianMs[cell] = delayMedianMs[cell - ys.length]!;
      } else {
        const counts = args.count(Float64Array.from(fires, (index) => timeUs[index]!));
        for (const part of parts) wrong[part][cell] = counts.wrong[part];
        if (counts.delaysMs.length > 0) delayMedianMs[cell] = quantileSorted(counts.delaysMs.sort(), 0.5);
      }
      last = fires;
    });
  });
  return { xs, ys, sizes, wrong, timesMs: { delayMedianMs } };
}

function isSame(a: ArrayLike<number>, b: ArrayLike<number>): boolean {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; ++i) if (a[i] !== b[i]) return false;
  return true;
}
