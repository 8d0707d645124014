/**
 * Sums of a linear least-squares problem y = X p: XᵀX, Xᵀy, yᵀy and the number of equations. Sums add up, so a block of
 * equations can also be removed again.
 */
export class NormalEquations {
  readonly size: number;
  readonly xx: Float64Array;
  readonly xy: Float64Array;
  yy = 0;
  count = 0;

  constructor(size: number) {
    this.size = size;
    this.xx = new Float64Array(size * size);
    this.xy = new Float64Array(size);
  }

  /** One equation, row · p = y. */
  add(row: ArrayLike<number>, y: number): void {
    const { size, xx, xy } = this;
    for (let r = 0; r < size; ++r) {
      for (let c = 0; c < size; ++c) xx[r * size + c] = xx[r * size + c]! + row[r]! * row[c]!;
      xy[r] = xy[r]! + row[r]! * y;
    }
    this.yy += y * y;
    ++this.count;
  }

  /** Adds another block's sums times `weight`; -1 removes the block. */
  addBlock(block: NormalEquations, weight = 1): void {
    for (let k = 0; k < this.xx.length; ++k) this.xx[k] = this.xx[k]! + weight * block.xx[k]!;
    for (let k = 0; k < this.size; ++k) this.xy[k] = this.xy[k]! + weight * block.xy[k]!;
    this.yy += weight * block.yy;
    this.count += weight * block.count;
  }

  /** Σ (y - X p)² for a given p. */
  squaredError(p: ArrayLike<number>): number {
    const { size, xx, xy } = this;
    let sum = this.yy;
    for (let r = 0; r < size; ++r) {
      let row = 0;
      for (let c = 0; c < size; ++c) row += xx[r * size + c]! * p[c]!;
      sum += p[r]! * (row - 2 * xy[r]!);
    }
    return Math.max(0, sum);
  }

  /** (XᵀX + diag(ridge))⁻¹, row by row; null where it cannot be inverted. */
  inverse(ridge: ArrayLike<number>): Float64Array | null {
    const a = this.xx.slice();
    for (let k = 0; k < this.size; ++k) a[k * this.size + k] = a[k * this.size + k]! + ridge[k]!;
    return invertSymmetric(a, this.size);
  }

  /** The best p, drawn toward 0 by the ridge; null where the equations do not determine it. */
  solve(ridge: ArrayLike<number>): Float64Array | null {
    const inverse = this.inverse(ridge);
    return inverse && timesVector(inverse, this.xy);
  }
}

export function timesVector(matrix: Float64Array, v: Float64Array): Float64Array {
  const out = new Float64Array(v.length);
  for (let r = 0; r < v.length; ++r) {
    for (let c = 0; c < v.length; ++c) out[r] = out[r]! + matrix[r * v.length + c]! * v[c]!;
  }
  return out;
}

/** Gauss-Jordan without pivots, which a positive definite matrix does not need; null for any other. */
function invertSymmetric(a: Float64Array, n: number): Float64Array | null {
  const inverse = new Float64Array(n * n);
  for (let k = 0; k < n; ++k) inverse[k * n + k] = 1;
  for (let k = 0; k < n; ++k) {
    const pivot = a[k * n + k]!;
    if (!(pivot > 1e-300)) return null;
    for (let c = 0; c < n; ++c) {
      a[k * n + c] = a[k * n + c]! / pivot;
      inverse[k * n + c] = inverse[k * n + c]! / pivot;
    }
    for (let r = 0; r < n; ++r) {
      const factor = a[r * n + k]!;
      if (r === k || factor === 0) continue;
      for (let c = 0; c < n; ++c) {
        a[r * n + c] = a[r * n + c]! - factor * a[k * n + c]!;
        inverse[r * n + c] = inverse[r * n + c]! - factor * inverse[k * n + c]!;
      }
    }
  }
  return inverse;
}
