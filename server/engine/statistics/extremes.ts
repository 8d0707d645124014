/** Values in a block, and blocks in a block of the next level, as powers of two. */
const BLOCK_BITS = 6;
const UPPER_BITS = 2 * BLOCK_BITS;
const BLOCK = 1 << BLOCK_BITS;
const UPPER = 1 << UPPER_BITS;

/** Values in a block: extremes of whole blocks look at no value. */
export const EXTREMES_BLOCK = BLOCK;

/**
 * A channel with the lowest and highest value of every block of 64 samples and of every 64 blocks. With them the search for
 * the next sample that reaches a level, and the extremes of any stretch, cost what is found, not what is passed over. A
 * block that holds a NaN has low = -Infinity, so that it is always looked into; NaN is never a block's high.
 */
export interface Extremes {
  readonly values: Float64Array;
  readonly lows: Float64Array;
  readonly highs: Float64Array;
  readonly upperLows: Float64Array;
  readonly upperHighs: Float64Array;
}

/** In one pass. The values must stay as they are. */
export function findExtremes(values: Float64Array): Extremes {
  const blocks = Math.ceil(values.length / BLOCK);
  const lows = new Float64Array(blocks);
  const highs = new Float64Array(blocks);
  for (let block = 0; block < blocks; ++block) {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    let hasNaN = false;
    const end = Math.min(values.length, (block + 1) * BLOCK);
    for (let i = block * BLOCK; i < end; ++i) {
      const value = values[i]!;
      if (value < low) low = value;
      if (value > high) high = value;
      if (Number.isNaN(value)) hasNaN = true;
    }
    lows[block] = hasNaN ? Number.NEGATIVE_INFINITY : low;
    highs[block] = high;
  }
  return { values, lows, highs, ...findUpper(lows, highs) };
}

function findUpper(lows: Float64Array, highs: Float64Array) {
  const blocks = Math.ceil(lows.length / BLOCK);
  const upperLows = new Float64Array(blocks).fill(Number.POSITIVE_INFINITY);
  const upperHighs = new Float64Array(blocks).fill(Number.NEGATIVE_INFINITY);
  for (let i = 0; i < lows.length; ++i) {
    const block = i >> BLOCK_BITS;
    if (lows[i]! < upperLows[block]!) upperLows[block] = lows[i]!;
    if (highs[i]! > upperHighs[block]!) upperHighs[block] = highs[i]!;
  }
  return { upperLows, upperHighs };
}

/** The first index in [from, to) with a value >= level; `to` where there is none. */
export function nextAtOrAbove(
  { values, highs, upperHighs }: Extremes,
  from: number,
  to: number,
  level: number,
): number {
  for (let i = from; i < to; ) {
    if (!(upperHighs[i >> UPPER_BITS]! >= level)) i = ((i >> UPPER_BITS) + 1) << UPPER_BITS;
    else {
      const end = Math.min(to, ((i >> BLOCK_BITS) + 1) << BLOCK_BITS);
      if (highs[i >> BLOCK_BITS]! >= level) for (; i < end; ++i) if (values[i]! >= level) return i;
      i = end;
    }
  }
  return to;
}

/** The first index in [from, to) with a value that is not >= level, as NaN never is; `to` where there is none. */
export function nextNotAtOrAbove(
  { values, lows, upperLows }: Extremes,
  from: number,
  to: number,
  level: number,
): number {
  for (let i = from; i < to; ) {
    if (upperLows[i >> UPPER_BITS]! >= level) i = ((i >> UPPER_BITS) + 1) << UPPER_BITS;
    else {
      const end = Math.min(to, ((i >> BLOCK_BITS) + 1) << BLOCK_BITS);
      if (!(lows[i >> BLOCK_BITS]! >= level)) for (; i < end; ++i) if (!(values[i]! >= level)) return i;
      i = end;
    }
  }
  return to;
}

/** The first index in [from, to) with a value < level, as NaN never is; `to` where there is none. */
export function nextBelow(
  { values, lows, upperLows }: Extremes,
  from: number,
  to: number,
  level: number,
): number {
  for (let i = from; i < to; ) {
    if (upperLows[i >> UPPER_BITS]! >= level) i = ((i >> UPPER_BITS) + 1) << UPPER_BITS;
    else {
      const end = Math.min(to, ((i >> BLOCK_BITS) + 1) << BLOCK_BITS);
      if (lows[i >> BLOCK_BITS]! < level) for (; i < end; ++i) if (values[i]! < level) return i;
      i = end;
    }
  }
  return to;
}

/**
 * Lowest and highest value over samples [start, end), NaN left out, written to `out[0]` and `out[1]`: Infinity and
 * -Infinity where there is none.
 */
export function extremesOver(extremes: Extremes, start: number, end: number, out: Float64Array): void {
  const { values, lows, highs, upperLows, upperHighs } = extremes;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = start; i < end; ) {
    const upper = i >> UPPER_BITS;
    const block = i >> BLOCK_BITS;
    if (i % UPPER === 0 && i + UPPER <= end && upperLows[upper] !== Number.NEGATIVE_INFINITY) {
      if (upperLows[upper]! < low) low = upperLows[upper]!;
      if (upperHighs[upper]! > high) high = upperHighs[upper]!;
      i += UPPER;
    } else if (i % BLOCK === 0 && i + BLOCK <= end && lows[block] !== Number.NEGATIVE_INFINITY) {
      if (lows[block]! < low) low = lows[block]!;
      if (highs[block]! > high) high = highs[block]!;
      i += BLOCK;
    } else {
      const value = values[i]!;
      if (value < low) low = value;
      if (value > high) high = value;
      ++i;
    }
  }
  out[0] = low;
  out[1] = high;
}
