/** Shares of both kinds that lie at or above a threshold. */
export interface RocPoint {
  readonly threshold: number;
  readonly falseShare: number;
  readonly trueShare: number;
}

/** How well one number tells two kinds of events apart, at every threshold. */
export interface Roc {
  /** From the highest threshold to the lowest, one for each value that occurs. */
  readonly points: readonly RocPoint[];
  /** Part of all pairs in which the positive one has the larger value; a tie counts half. 0.5 is chance. */
  readonly area: number;
  readonly standardError: number;
  /** The threshold with the largest trueShare - falseShare (Youden's J); of several the highest. */
  readonly best: RocPoint & { readonly youden: number };
}

/**
 * @param positives  values of the events to be caught (such as the fastest speed shortly before a stray press).
 * @param negatives  values of those to be left alone.
 * @returns null where one of the kinds is missing.
 * @throws RangeError  on NaN.
 * Source: J. A. Hanley & B. J. McNeil, Radiology 143 (1982), 29-36; standard error with their approximation for
 * negative exponential distributions.
 */
export function rocOf(positives: readonly number[], negatives: readonly number[]): Roc | null {
  for (const value of [...positives, ...negatives]) {
    if (Number.isNaN(value)) throw new RangeError('a value is NaN');
  }
  if (positives.length === 0 || negatives.length === 0) return null;
  const points = pointsOf(positives, negatives);
  const area = areaUnder(points);
  let best = points[0]!;
  for (const point of points) if (youdenOf(point) > youdenOf(best)) best = point;
  const standardError = hanleyMcNeil(area, positives.length, negatives.length);
  return { points, area, standardError, best: { ...best, youden: youdenOf(best) } };
}

function pointsOf(positives: readonly number[], negatives: readonly number[]): RocPoint[] {
  const [up, down] = [Float64Array.from(positives).sort(), Float64Array.from(negatives).sort()];
  const thresholds = [...new Set([...up, ...down])].sort((a, b) => b - a);
  let [hits, alarms] = [0, 0];
  return thresholds.map((threshold) => {
    while (hits < up.length && up[up.length - 1 - hits]! >= threshold) ++hits;
    while (alarms < down.length && down[down.length - 1 - alarms]! >= threshold) ++alarms;
    return { threshold, falseShare: alarms / down.length, trueShare: hits / up.length };
  });
}

/** By trapezoids from (0, 0): the same as counting pairs, with ties half. */
function areaUnder(points: readonly RocPoint[]): number {
  let area = 0;
  let [x, y] = [0, 0];
  for (const { falseShare, trueShare } of points) {
    area += ((falseShare - x) * (trueShare + y)) / 2;
    [x, y] = [falseShare, trueShare];
  }
  return area;
}

function hanleyMcNeil(area: number, positives: number, negatives: number): number {
  const q1 = area / (2 - area);
  const q2 = (2 * area * area) / (1 + area);
  const square = area * area;
  const sum = area * (1 - area) + (positives - 1) * (q1 - square) + (negatives - 1) * (q2 - square);
  return Math.sqrt(Math.max(0, sum) / (positives * negatives));
}

function youdenOf({ falseShare, trueShare }: RocPoint): number {
  return trueShare - falseShare;
}
