import { errorsOf } from '../choose/cost.ts';
import type { SweptSetting, Weighing } from '../choose/problem.ts';
import type { SweepGrid } from '../sweep/grid.ts';
import type { SettingMargin } from './keptSetting.ts';

/** Values that are tried, rising, with the setting's own among them. */
export function withOwn(values: readonly number[], own: number): number[] {
  return [...new Set([...values, own])].sort((a, b) => a - b);
}

/**
 * How far each value of a setting can change, the other staying, before it does worse: by the cost that Sweep chooses by,
 * so that a setting that it suggests has here the margins that it has there.
 * @param grid  the sum over all takes that count, the setting's own values among its own.
 * @param slack  see `Weighing.cost`.
 */
export function marginsOf<Part extends string>(
  problem: Pick<Weighing<Part>, 'x' | 'y' | 'cost' | 'errors'>,
  grid: SweepGrid<Part>,
  { x, y }: { readonly x: number; readonly y: number },
  slack: number,
): { readonly x: SettingMargin; readonly y: SettingMargin } {
  const isSlow = x < (problem.x.least ?? -Infinity);
  // A setting that is never suggested has no cost: what it gets wrong is all that tells.
  const cost = isSlow
    ? errorsOf({ ...problem, x: withoutLeast(problem.x) }, grid)
    : problem.cost(grid, slack);
  const [xs, ys] = [[...grid.xs], [...grid.ys]];
  const [xIndex, yIndex] = [xs.indexOf(x), ys.indexOf(y)];
  const costAt = (i: number, j: number) => cost[i * ys.length + j]!;
  const along = (
    { least = -Infinity }: SweptSetting,
    values: readonly number[],
    own: number,
    of: (index: number) => number,
  ): SettingMargin => {
    const tried = values.flatMap((value, i) => (value >= least || value === own ? [i] : []));
    return marginOf(
      tried.map((i) => values[i]!),
      tried.map(of),
      own,
    );
  };
  return {
    x: along(problem.x, xs, x, (i) => costAt(i, yIndex)),
    y: along(problem.y, ys, y, (j) => costAt(xIndex, j)),
  };
}

function withoutLeast({ field, values, step }: SweptSetting): SweptSetting {
  return { field, values, step };
}

/**
 * How far a value can change before it costs more than at the value itself.
 * @param tried  rising, `own` among them. @param costs  what each comes to.
 */
export function marginOf(tried: readonly number[], costs: readonly number[], own: number): SettingMargin {
  const at = tried.indexOf(own);
  const reach = (step: -1 | 1) => {
    let index = at;
    while (tried[index + step] !== undefined && costs[index + step]! <= costs[at]!) index += step;
    return { last: tried[index]!, worse: tried[index + step] ?? null };
  };
  const [below, above] = [reach(-1), reach(1)];
  return { low: below.last, high: above.last, worseBelow: below.worse, worseAbove: above.worse };
}
