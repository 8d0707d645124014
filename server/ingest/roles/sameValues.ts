import type { NamedColumn } from '../layout/triples.ts';

const FEWEST_ROWS = 20;
/** What is left of one column's variance once the other is scaled to it. */
const LEFT_AT_MOST = 1e-3;

/** True where two lists of columns hold the same quantities in other units: each the other's times one factor, plus a constant. */
export function sameValues(a: readonly NamedColumn[], b: readonly NamedColumn[]): boolean {
  return a.length === b.length && a.every((column, i) => isCopy(column.sample.values, b[i]!.sample.values));
}

/** By least squares over the rows in which both are there. */
function isCopy(a: Float64Array, b: Float64Array): boolean {
  let [n, sa, sb, aa, ab, bb] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < Math.min(a.length, b.length); ++i) {
    const [x, y] = [a[i]!, b[i]!];
    if (!(Math.abs(x) < 1e8 && Math.abs(y) < 1e8)) continue;
    n += 1;
    sa += x;
    sb += y;
    aa += x * x;
    ab += x * y;
    bb += y * y;
  }
  const [va, vb, vab] = [aa - (sa * sa) / n, bb - (sb * sb) / n, ab - (sa * sb) / n];
  return n >= FEWEST_ROWS && va > 0 && vb > 0 && 1 - (vab * vab) / (va * vb) < LEFT_AT_MOST;
}
