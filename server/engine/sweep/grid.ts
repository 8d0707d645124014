/** The settings that are tried, both axes rising. */
export interface Axes {
  readonly xs: readonly number[];
  readonly ys: readonly number[];
}

export type Cells = Int32Array | Float64Array;

/**
 * What a detector's settings come to over a grid of two of them. Row-major: the cell of x and y stands at x * ys + y.
 */
export interface SweepGrid<Part extends string = string, Size extends string = string> {
  readonly xs: Float64Array;
  readonly ys: Float64Array;
  /** What there is to judge by, the same in every cell: so many presses, swings, seconds. */
  readonly sizes: Readonly<Record<Size, number>>;
  /** What goes wrong, cell by cell: presses, swings, fires, or seconds. */
  readonly wrong: Readonly<Record<Part, Cells>>;
  /** Medians and the like, which cannot be pooled: of several takes the longest is kept. NaN where there is none. */
  readonly timesMs: Readonly<Record<string, Float64Array>>;
}

/**
 * Several takes' grids as one: sizes and what goes wrong add up, of times the longest is kept.
 * @throws RangeError  on no grid, or grids over other settings.
 */
export function sumGrids<Grid extends SweepGrid>(grids: readonly Grid[]): Grid {
  const [first, ...others] = grids;
  if (!first) throw new RangeError('there is no grid to sum');
  return others.reduce<Grid>(
    (sum, grid) => ({
      ...combined(sum, grid, 1),
      timesMs: eachOf(sum.timesMs, (name, times) => longest(times, grid.timesMs[name]!)),
    }),
    first,
  );
}

/** The grid of all takes without those of `own`; its times are of no meaning. */
export function withoutGrid<Grid extends SweepGrid>(total: Grid, own: SweepGrid): Grid {
  return combined(total, own, -1);
}

function combined<Grid extends SweepGrid>(a: Grid, b: SweepGrid, sign: 1 | -1): Grid {
  if (!isSame(a.xs, b.xs) || !isSame(a.ys, b.ys))
    throw new RangeError('the grids are over different settings');
  return {
    ...a,
    sizes: eachOf(a.sizes, (name, size) => size + sign * b.sizes[name]!),
    wrong: eachOf(a.wrong, (name, cells) => {
      const out = cells.slice() as Cells;
      const other = b.wrong[name]!;
      for (let i = 0; i < out.length; ++i) out[i]! += sign * other[i]!;
      return out;
    }),
  };
}

function eachOf<Value>(
  record: Readonly<Record<string, Value>>,
  of: (name: string, value: Value) => Value,
): Record<string, Value> {
  return Object.fromEntries(Object.entries(record).map(([name, value]) => [name, of(name, value)]));
}

function longest(a: Float64Array, b: Float64Array): Float64Array {
  return a.map((value, i) => (Number.isNaN(b[i]!) || value >= b[i]! ? value : b[i]!));
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}
