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
