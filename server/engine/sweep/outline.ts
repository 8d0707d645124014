/**
 * The outline of a region of a grid as SVG path data. Corners of cells are given by `x(i)` and `y(j)`, i and j from 0 to
 * the number of cells of the axis; cell (i, j) stands at i * ys + j and reaches from corner (i, j) to (i + 1, j + 1).
 */
export function outlinePath(
  region: ArrayLike<number>,
  ys: number,
  x: (i: number) => number,
  y: (j: number) => number,
): string {
  const xs = region.length / ys;
  const isIn = (i: number, j: number) => i >= 0 && j >= 0 && i < xs && j < ys && region[i * ys + j] === 1;
  const parts: string[] = [];
  for (let i = 0; i <= xs; ++i) {
    forRuns(
      ys,
      (j) => isIn(i - 1, j) !== isIn(i, j),
      (from, to) => parts.push(`M${round(x(i))} ${round(y(from))}V${round(y(to))}`),
    );
  }
  for (let j = 0; j <= ys; ++j) {
    forRuns(
      xs,
      (i) => isIn(i, j - 1) !== isIn(i, j),
      (from, to) => parts.push(`M${round(x(from))} ${round(y(j))}H${round(x(to))}`),
    );
  }
  return parts.join('');
}

/** Calls `found` for every unbroken run of edges, from its first to one past its last. */
function forRuns(
  length: number,
  isEdge: (k: number) => boolean,
  found: (from: number, to: number) => void,
): void {
  let from = -1;
  for (let k = 0; k <= length; ++k) {
    const edge = k < length && isEdge(k);
    if (edge && from < 0) from = k;
    if (!edge && from >= 0) {
      found(from, k);
      from = -1;
    }
  }
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
