/** The last `samples` values up to n, what lies before the first one being the first one. */
function windowAt(x: readonly number[], n: number, samples: number): number[] {
  return Array.from({ length: samples }, (_, k) => x[Math.max(0, n - k)]!);
}

/** Every window's mean, added up anew. */
export function slowAverage(x: readonly number[], samples: number): number[] {
  return x.map((_, n) => windowAt(x, n, samples).reduce((sum, value) => sum + value, 0) / samples);
}

/** Every window sorted, and the middle taken; of an even number the mean of the middle two. */
export function slowMedian(x: readonly number[], samples: number): number[] {
  return x.map((_, n) => {
    const sorted = windowAt(x, n, samples).sort((a, b) => a - b);
    return (sorted[(samples - 1) >> 1]! + sorted[samples >> 1]!) / 2;
  });
}
