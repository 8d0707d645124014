/** Coefficients c0, c1, ... of the least-squares polynomial through (t, y), by the normal equations. */
export function fitPolynomial(t: readonly number[], y: readonly number[], degree: number): number[] {
  const size = degree + 1;
  const rows = Array.from({ length: size }, (_, r) => [
    ...Array.from({ length: size }, (_, c) => t.reduce((sum, ti) => sum + ti ** (r + c), 0)),
    t.reduce((sum, ti, i) => sum + ti ** r * y[i]!, 0),
  ]);
  return solveRows(rows);
}

/** Gauss-Jordan with pivots on rows [a | b]. */
export function solveRows(rows: number[][]): number[] {
  const n = rows.length;
  for (let c = 0; c < n; ++c) {
    const pivot = rows.slice(c).reduce((best, row) => (Math.abs(row[c]!) > Math.abs(best[c]!) ? row : best));
    rows.splice(rows.indexOf(pivot), 1);
    rows.splice(c, 0, pivot);
    for (let r = 0; r < n; ++r) {
      if (r === c) continue;
      const factor = rows[r]![c]! / pivot[c]!;
      for (let k = 0; k <= n; ++k) rows[r]![k]! -= factor * pivot[k]!;
    }
  }
  return rows.map((row, r) => row[n]! / row[r]!);
}
