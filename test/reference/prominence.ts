/** Peaks and prominences straight from the definition: from every peak walk out both ways until something is higher. */
export function referencePeaks(
  x: readonly number[],
): { index: number; prominence: number; leftBase: number; rightBase: number }[] {
  const peaks = [];
  for (let i = 1; i < x.length - 1; ++i) {
    if (!(x[i - 1]! < x[i]!)) continue;
    let end = i;
    while (x[end + 1] === x[i]) ++end;
    if (!(x[end + 1]! < x[i]!)) continue;
    const index = Math.floor((i + end) / 2);
    const leftBase = lowestUntilHigher(x, index, -1);
    const rightBase = lowestUntilHigher(x, index, 1);
    const prominence = x[index]! - Math.max(x[leftBase]!, x[rightBase]!);
    peaks.push({ index, prominence, leftBase, rightBase });
  }
  return peaks;
}

function lowestUntilHigher(x: readonly number[], from: number, step: number): number {
  let lowest = from;
  for (let i = from; i >= 0 && i < x.length && x[i]! <= x[from]!; i += step)
    if (x[i]! < x[lowest]!) lowest = i;
  return lowest;
}
