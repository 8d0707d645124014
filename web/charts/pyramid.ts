/** Lowest and highest value of every block of 64 samples: what a zoomed-out view needs of a long channel. */
export interface Pyramid {
  readonly values: Float64Array;
  readonly lows: Float64Array;
  readonly highs: Float64Array;
}

const BLOCK = 64;

/** Builds a pyramid in one pass. NaN samples count as nothing; a block of only NaN has low = +Inf, high = -Inf. */
export function buildPyramid(values: Float64Array): Pyramid {
  const blocks = Math.ceil(values.length / BLOCK);
  const lows = new Float64Array(blocks);
  const highs = new Float64Array(blocks);
  for (let block = 0; block < blocks; block++) {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    const end = Math.min(values.length, (block + 1) * BLOCK);
    for (let i = block * BLOCK; i < end; i++) {
      const value = values[i]!;
      if (value < low) low = value;
      if (value > high) high = value;
    }
    lows[block] = low;
    highs[block] = high;
  }
  return { values, lows, highs };
}

const kept = new WeakMap<Float64Array, Pyramid>();

/** A channel's pyramid, built once for each: staves and strip share channels, and what is drawn beside them changes. */
export function pyramidOf(values: Float64Array): Pyramid {
  const known = kept.get(values) ?? buildPyramid(values);
  kept.set(values, known);
  return known;
}

/** Lowest and highest value over samples [start, end), written to `out[0]` and `out[1]`. */
export function extremes(pyramid: Pyramid, start: number, end: number, out: Float64Array): void {
  const { values, lows, highs } = pyramid;
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  let i = start;
  while (i < end) {
    if (i % BLOCK === 0 && i + BLOCK <= end) {
      const block = i / BLOCK;
      if (lows[block]! < low) low = lows[block]!;
      if (highs[block]! > high) high = highs[block]!;
      i += BLOCK;
    } else {
      const value = values[i]!;
      if (value < low) low = value;
      if (value > high) high = value;
      i++;
    }
  }
  out[0] = low;
  out[1] = high;
}
