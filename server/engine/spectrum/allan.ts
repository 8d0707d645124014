/** One point of an Allan deviation curve. */
export interface AllanPoint {
  readonly tauS: number;
  /** In the unit of the series. */
  readonly deviation: number;
}

/**
 * Overlapping Allan deviation of a rate's averages over m samples; NaN where the series is too short for two of them.
 * @throws RangeError  unless m is a whole number above 0.
 * Source: W. J. Riley, Handbook of Frequency Stability Analysis, NIST SP 1065, 2008.
 */
export function allanDeviation(rate: Float64Array, m: number): number {
  if (!(Number.isInteger(m) && m > 0)) throw new RangeError(`m must be a whole number above 0, got ${m}`);
  return deviationOver(angleOf(rate), m);
}

/** Overlapping deviations at about `perDecade` times per decade, from one sample to a ninth of the series. */
export function allanCurve(rate: Float64Array, sampleHz: number, perDecade = 8): AllanPoint[] {
  const angle = angleOf(rate);
  const points: AllanPoint[] = [];
  const most = Math.floor(rate.length / 9);
  for (let step = 0, last = 0; ; ++step) {
    const m = Math.round(10 ** (step / perDecade));
    if (m > most) return points;
    if (m === last) continue;
    last = m;
    points.push({ tauS: m / sampleHz, deviation: deviationOver(angle, m) });
  }
}

/** Running sum with a 0 before it, in samples, of the rate less its mean: the mean changes no second difference. */
function angleOf(rate: Float64Array): Float64Array {
  let mean = 0;
  for (const value of rate) mean += value / rate.length;
  const angle = new Float64Array(rate.length + 1);
  for (let i = 0; i < rate.length; ++i) angle[i + 1] = angle[i]! + rate[i]! - mean;
  return angle;
}

function deviationOver(angle: Float64Array, m: number): number {
  const count = angle.length - 2 * m;
  let sum = 0;
  for (let i = 0; i < count; ++i) {
    const d = angle[i + 2 * m]! - 2 * angle[i + m]! + angle[i]!;
    sum += d * d;
  }
  return count > 0 ? Math.sqrt(sum / (2 * count)) / m : Number.NaN;
}
