/** From values to places on the ramp, the same for the map and its legend. */
export interface MapScale {
  readonly max: number;
  readonly isCount: boolean;
  /** Place on the ramp, 0 to 1; null for a count of none, which has a colour of its own, and for NaN. */
  place(value: number): number | null;
  /** Values to write beside the legend, rising. */
  readonly ticks: readonly number[];
}

/** The least counts must be told apart from none and from one another: their places go by the root. */
export function mapScale(values: ArrayLike<number>, isCount: boolean): MapScale {
  let max = 0;
  for (let i = 0; i < values.length; ++i) if (values[i]! > max) max = values[i]!;
  if (!isCount) {
    const place = (value: number) => (Number.isNaN(value) ? null : max === 0 ? 0 : value / max);
    return { max, isCount, place, ticks: max === 0 ? [0] : [0, max / 2, max] };
  }
  const place = (value: number) => (value > 0 ? Math.sqrt(value / max) : null);
  return { max, isCount, place, ticks: countTicks(max) };
}

function countTicks(max: number): number[] {
  const wanted = max <= 4 ? [1, 2, 3, 4] : [1, max / 16, max / 4, (9 * max) / 16, max];
  const ticks = [...new Set(wanted.map((value) => Math.max(1, Math.round(value))))];
  const kept = ticks.filter((value) => value <= max);
  return kept.filter(
    (value, i) => i === kept.length - 1 || Math.sqrt(kept[i + 1]! / max) - Math.sqrt(value / max) > 0.09,
  );
}
