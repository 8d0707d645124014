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
  if (others.length === 0) return first;
  for (const grid of others) checkSame(first, grid);
  return {
    ...first,
    sizes: eachOf(first.sizes, (name, size) => others.reduce((sum, { sizes }) => sum + sizes[name]!, size)),
    wrong: eachOf(first.wrong, (name, cells) => {
      const sum = cells.slice() as Cells;
      for (const { wrong } of others) add(sum, wrong[name]!, 1);
      return sum;
    }),
    timesMs: eachOf(first.timesMs, (name, times) => {
      const longest = times.slice();
      for (const { timesMs } of others) keepLongest(longest, timesMs[name]!);
      return longest;
    }),
  };
}

/** The grid of all takes without those of `own`; its times are of no meaning. */
export function withoutGrid<Grid extends SweepGrid>(total: Grid, own: SweepGrid): Grid {
  checkSame(total, own);
  return {
    ...total,
    sizes: eachOf(total.sizes, (name, size) => size - own.sizes[name]!),
    wrong: eachOf(total.wrong, (name, cells) => {
      const rest = cells.slice() as Cells;
      add(rest, own.wrong[name]!, -1);
      return rest;
    }),
  };
}

function checkSame(a: SweepGrid, b: SweepGrid): void {
  if (!isSame(a.xs, b.xs) || !isSame(a.ys, b.ys))
    throw new RangeError('the grids are over different settings');
}

function add(sum: Cells, cells: Cells, sign: 1 | -1): void {
  for (let i = 0; i < sum.length; ++i) sum[i]! += sign * cells[i]!;
}

function keepLongest(longest: Float64Array, times: Float64Array): void {
  for (let i = 0; i < longest.length; ++i) {
    const time = times[i]!;
    if (!(Number.isNaN(time) || longest[i]! >= time)) longest[i] = time;
  }
}

function eachOf<Value>(
  record: Readonly<Record<string, Value>>,
  of: (name: string, value: Value) => Value,
): Record<string, Value> {
  return Object.fromEntries(Object.entries(record).map(([name, value]) => [name, of(name, value)]));
}

function isSame(a: Float64Array, b: Float64Array): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}
