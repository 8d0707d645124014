export interface SavitzkyGolaySettings {
  /** Odd, above `degree`. */
  readonly points: number;
  readonly degree: number;
  /** 0 smooths, 1 gives the slope, and so on; at most `degree`. */
  readonly derivative: number;
}

/**
 * Weights of the samples in a window for the least-squares polynomial's value, or derivative per sample, at `at`
 * samples from the window's middle.
 * @throws RangeError  if points is even or too few, or the derivative above the degree.
 * Source: Savitzky and Golay, Anal. Chem. 36(8), 1964; by Gram polynomials after Gorry, Anal. Chem. 62, 1990 (from
 * memory), since the tables of 1964 hold misprints.
 */
export function savitzkyGolayWeights(settings: SavitzkyGolaySettings, at = 0): Float64Array {
  const { points, degree, derivative } = checked(settings);
  const half = (points - 1) / 2;
  const weights = new Float64Array(points);
  for (let k = 0; k <= degree; ++k) {
    const norm = ((2 * k + 1) * falling(2 * half, k)) / falling(2 * half + k + 1, k + 1);
    const here = gram(at, half, k, derivative);
    for (let i = -half; i <= half; ++i)
      weights[i + half] = weights[i + half]! + norm * gram(i, half, k, 0) * here;
  }
  return weights;
}

/**
 * The filter over a whole series: no delay, so never causal. The ends take the first and last window's polynomial.
 * @param sampleHz  derivatives come per second.
 * @throws RangeError  if the series is shorter than the window, or a setting is out of its range.
 */
export function savitzkyGolay(
  x: Float64Array,
  settings: SavitzkyGolaySettings,
  sampleHz: number,
  out = new Float64Array(x.length),
): Float64Array {
  const { points, derivative } = checked(settings);
  if (x.length < points) throw new RangeError(`a window of ${points} does not fit ${x.length} samples`);
  const half = (points - 1) / 2;
  const scale = sampleHz ** derivative;
  const middle = savitzkyGolayWeights(settings);
  const last = x.length - points;
  for (let i = 0; i <= last; ++i) out[i + half] = scale * dot(middle, x, i);
  for (let i = 0; i < half; ++i) {
    out[i] = scale * dot(savitzkyGolayWeights(settings, i - half), x, 0);
    out[x.length - 1 - i] = scale * dot(savitzkyGolayWeights(settings, half - i), x, last);
  }
  return out;
}

function dot(weights: Float64Array, x: Float64Array, from: number): number {
  let sum = 0;
  for (let k = 0; k < weights.length; ++k) sum += weights[k]! * x[from + k]!;
  return sum;
}

/** The s-th derivative of the k-th Gram polynomial on -m..m. */
function gram(i: number, m: number, k: number, s: number): number {
  if (k < 0 || s < 0) return 0;
  if (k === 0) return s === 0 ? 1 : 0;
  const below = k * (2 * m - k + 1);
  return (
    ((4 * k - 2) / below) * (i * gram(i, m, k - 1, s) + s * gram(i, m, k - 1, s - 1)) -
    (((k - 1) * (2 * m + k)) / below) * gram(i, m, k - 2, s)
  );
}

/** a (a - 1) ... of b factors. */
function falling(a: number, b: number): number {
  let product = 1;
  for (let j = 0; j < b; ++j) product *= a - j;
  return product;
}

function checked(settings: SavitzkyGolaySettings): SavitzkyGolaySettings {
  const { points, degree, derivative } = settings;
  if (!(Number.isInteger(points) && points % 2 === 1 && points > 0))
    throw new RangeError(`points must be odd, got ${points}`);
  if (!(Number.isInteger(degree) && degree >= 0 && degree < points))
    throw new RangeError(`degree must be a whole number in [0, ${points}), got ${degree}`);
  if (!(Number.isInteger(derivative) && derivative >= 0 && derivative <= degree))
    throw new RangeError(`derivative must be a whole number in [0, ${degree}], got ${derivative}`);
  return settings;
}
