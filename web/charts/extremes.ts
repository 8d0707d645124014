const found = new WeakMap<Float64Array, readonly [number, number]>();

/** Lowest and highest value of a channel, 0 included; found once for each: a drag repaints often, the channel stays. */
function extremesOf(values: Float64Array): readonly [number, number] {
  const kept = found.get(values);
  if (kept) return kept;
  let low = 0;
  let high = 0;
  for (let i = 0; i < values.length; i++) {
    const value = values[i]!;
    if (value < low) low = value;
    if (value > high) high = value;
  }
  found.set(values, [low, high]);
  return [low, high];
}

export function highest(values: Float64Array): number {
  return extremesOf(values)[1];
}

export function lowest(values: Float64Array): number {
  return extremesOf(values)[0];
}
