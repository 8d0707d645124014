/** The place of the value nearest to the wanted one. */
export function nearest(values: Float64Array, wanted: number): number {
  let best = 0;
  for (let i = 1; i < values.length; ++i)
    if (Math.abs(values[i]! - wanted) < Math.abs(values[best]! - wanted)) best = i;
  return best;
}
