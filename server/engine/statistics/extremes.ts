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
 * block that holds a NaN has low = -Infinity, so that a search always looks into it; NaN is never a block's high.
 */
export interface Extremes {
  readonly values: Float64Array;
  readonly lows: Float64Array;
  readonly highs: Float64Array;
  readonly upperLows: Float64Array;
  readonly upperHighs: Float64Array;
  /** The lowest values, NaN left out: Infinity where there is none. The same arrays as the lows where no value is NaN. */
  readonly known: { readonly lows: Float64Array; readonly upperLows: Float64Array };
}

/** In one pass. The values must stay as they are. */
export function findExtremes(values: Float64Array): Extremes {
  const blocks = Math.ceil(values.length / BLOCK);
  const lows = new Float64Array(blocks);
  const highs = new Float64Array(blocks);
  let knownLows: Float64Array | null = null;
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
    if (hasNaN) knownLows ??= lows.slice();
    if (knownLows) knownLows[block] = low;
    lows[block] = hasNaN ? Number.NEGATIVE_INFINITY : low;
    highs[block] = high;
  }
  const upperLows = lowestOf(lows);
  const known = knownLows ? { lows: knownLows, upperLows: lowestOf(knownLows) } : { lows, upperLows };
  return { values, lows, highs, upperLows, upperHighs: highestOf(highs), known };
}

/** Of every 64 of them. */
function lowestOf(lows: Float64Array): Float64Array {
  const upper = new Float64Array(Math.ceil(lows.length / BLOCK)).fill(Number.POSITIVE_INFINITY);
  for (let i = 0; i < lows.length; ++i) {
    if (lows[i]! < upper[i >> BLOCK_BITS]!) upper[i >> BLOCK_BITS] = lows[i]!;
  }
  return upper;
}

function highestOf(highs: Float64Array): Float64Array {
  const upper = new Float64Array(Math.ceil(highs.length / BLOCK)).fill(Number.NEGATIVE_INFINITY);
  for (let i = 0; i < highs.length; ++i) {
    if (highs[i]! > upper[i >> BLOCK_BITS]!) upper[i >> BLOCK_BITS] = highs[i]!;
  }
  return upper;
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

/** The last index in [from, to) with a value >= level; `from - 1` where there is none. */
export function lastAtOrAbove(
  { values, highs, upperHighs }: Extremes,
  from: number,
  to: number,
  level: number,
): number {
  for (let i = to - 1; i >= from; ) {
    if (!(upperHighs[i >> UPPER_BITS]! >= level)) i = ((i >> UPPER_BITS) << UPPER_BITS) - 1;
    else {
      const start = Math.max(from, (i >> BLOCK_BITS) << BLOCK_BITS);
      if (highs[i >> BLOCK_BITS]! >= level) for (; i >= start; --i) if (values[i]! >= level) return i;
      i = start - 1;
    }
  }
  return from - 1;
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
  const { values, highs, upperHighs } = extremes;
  const { lows, upperLows } = extremes.known;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (let i = start; i < end; ) {
    const upper = i >> UPPER_BITS;
    if (i % UPPER === 0 && i + UPPER <= end) {
      if (upperLows[upper]! < low) low = upperLows[upper]!;
      if (upperHighs[upper]! > high) high = upperHighs[upper]!;
      i += UPPER;
    } else if (i % BLOCK === 0 && i + BLOCK <= end) {
      const until = Math.min((upper + 1) << (UPPER_BITS - BLOCK_BITS), end >> BLOCK_BITS);
      for (let block = i >> BLOCK_BITS; block < until; ++block) {
        if (lows[block]! < low) low = lows[block]!;
        if (highs[block]! > high) high = highs[block]!;
      }
      i = until << BLOCK_BITS;
    } else {
      const until = Math.min(((i >> BLOCK_BITS) + 1) << BLOCK_BITS, end);
      for (; i < until; ++i) {
        const value = values[i]!;
        if (value < low) low = value;
        if (value > high) high = value;
      }
    }
  }
  out[0] = low;
  out[1] = high;
}
