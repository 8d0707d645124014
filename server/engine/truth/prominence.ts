/** A local maximum that stands out. All places are indices into the series given. */
interface Peak {
  readonly index: number;
  readonly prominence: number;
  /** The lowest sample between the peak and the next higher ground on the left, the nearest one if there are several. */
  readonly leftBase: number;
  readonly rightBase: number;
}

interface PeakLimits {
  readonly minProminence?: number;
  readonly minHeight?: number;
}

/**
 * Local maxima with their prominence, in order: those with height >= minHeight and prominence >= minProminence.
 *
 * A local maximum is a sample, or a flat stretch (of which the middle sample stands for all, the left one of two),
 * with lower samples on both sides; the first and last samples are none. Its prominence is its height above the higher
 * of two bases: on each side the lowest sample up to the first strictly higher one, or to the end of the series. NaN
 * ends the series for a peak beside it.
 * Source of the definition: documentation of scipy.signal.find_peaks and peak_prominences.
 */
export function findPeaks(x: Float64Array, limits: PeakLimits = {}): Peak[] {
  const { minProminence = 0, minHeight = -Infinity } = limits;
  const tops = localMaxima(x);
  const left = bases(x, tops, 1);
  const right = bases(x, tops, -1);
  const peaks: Peak[] = [];
  for (let k = 0; k < tops.length; ++k) {
    const index = tops[k]!;
    const [leftBase, rightBase] = [left[k]!, right[k]!];
    const prominence = x[index]! - Math.max(x[leftBase]!, x[rightBase]!);
    if (x[index]! >= minHeight && prominence >= minProminence)
      peaks.push({ index, prominence, leftBase, rightBase });
  }
  return peaks;
}

function localMaxima(x: Float64Array): number[] {
  const tops: number[] = [];
  for (let i = 1; i < x.length - 1; ++i) {
    if (!(x[i - 1]! < x[i]!)) continue;
    let end = i;
    while (end + 1 < x.length && x[end + 1] === x[i]) ++end;
    if (end + 1 < x.length && x[end + 1]! < x[i]!) tops.push((i + end) >> 1);
    i = end;
  }
  return tops;
}

/**
 * The base of every peak on one side (direction 1: the left one). A peak lower than the present one leaves the stack,
 * with the lowest place of the ground up to it: each leaves once, so one pass is enough.
 */
function bases(x: Float64Array, tops: readonly number[], direction: 1 | -1): Int32Array {
  const found = new Int32Array(tops.length);
  const stack: { height: number; base: number }[] = [];
  let at = direction === 1 ? 0 : x.length - 1;
  for (let n = 0; n < tops.length; ++n) {
    const k = direction === 1 ? n : tops.length - 1 - n;
    const top = tops[k]!;
    let base = top;
    for (let i = at; i !== top; i += direction) {
      if (Number.isNaN(x[i]!)) {
        stack.length = 0;
        base = top;
      } else if (base === top || x[i]! <= x[base]!) base = i;
    }
    while (stack.length > 0 && stack.at(-1)!.height <= x[top]!) {
      const passed = stack.pop()!;
      if (x[passed.base]! < x[base]!) base = passed.base;
    }
    found[k] = base;
    stack.push({ height: x[top]!, base });
    at = top;
  }
  return found;
}
