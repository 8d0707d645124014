import { pick } from '../ground/pick.ts';
import { peakOf, type RestLevel, restLevel, type Vector3Columns } from '../ground/rest.ts';
import type { NamedColumn } from '../layout/triples.ts';

/** What the head of a file shows of three columns taken together. */
export interface VectorFacts {
  readonly columns: readonly NamedColumn[];
  /** Rows in which all three are sound numbers. */
  readonly vectors: Vector3Columns;
  /** Places of these rows in the head. */
  readonly rows: Int32Array;
  readonly rest: RestLevel;
  readonly peak: number;
  readonly isWhole: boolean;
  /** Half the middle 96 % of the length, as a share of its median: next to nothing for a field of constant length. */
  readonly spread: number;
  /** The same about the centre of the sphere that fits best: a field with an offset keeps its length about that. */
  readonly centredSpread: number;
  /** How fast the direction turns at most (99th percentile), degrees a row; NaN for too few rows. */
  readonly turnDegPerRow: number;
  /** How far the direction has come from its first, degrees. */
  readonly turnedDeg: number;
}

/** No sensor writes a number beyond this in any unit: such a cell is broken. */
const ABSURD = 1e8;
const DEG = 180 / Math.PI;
const SAMPLED = 4000;

export function factsOf(columns: readonly NamedColumn[]): VectorFacts {
  const [x, y, z] = columns.map(({ sample }) => sample.values) as [Float64Array, Float64Array, Float64Array];
  const rows = soundRows(x, y, z);
  const vectors: Vector3Columns = { x: pick(x, rows), y: pick(y, rows), z: pick(z, rows) };
  const lengths = lengthsOf(vectors);
  return {
    columns,
    vectors,
    rows,
    rest: restLevel(vectors),
    peak: peakOf(vectors),
    isWhole: columns.every(({ sample }) => sample.isWhole),
    spread: spreadOf(lengths),
    centredSpread: centredSpread(vectors),
    ...turningOf(vectors, lengths),
  };
}

function soundRows(x: Float64Array, y: Float64Array, z: Float64Array): Int32Array {
  const rows = new Int32Array(x.length);
  let count = 0;
  for (let i = 0; i < x.length; ++i)
    if (Math.abs(x[i]!) < ABSURD && Math.abs(y[i]!) < ABSURD && Math.abs(z[i]!) < ABSURD) rows[count++] = i;
  return rows.slice(0, count);
}

export function lengthsOf({ x, y, z }: Vector3Columns): Float64Array {
  const lengths = new Float64Array(x.length);
  for (let i = 0; i < x.length; ++i) lengths[i] = Math.sqrt(x[i]! * x[i]! + y[i]! * y[i]! + z[i]! * z[i]!);
  return lengths;
}

/** Half the distance from the 2nd to the 98th percentile, as a share of the median. */
function spreadOf(lengths: Float64Array): number {
  const sorted = lengths.slice().sort();
  const at = (share: number) => sorted[Math.floor(share * (sorted.length - 1))] ?? Number.NaN;
  return (at(0.98) - at(0.02)) / (2 * at(0.5));
}

/**
 * `spreadOf` about the centre of the sphere that fits the vectors best: |v|² = 2c·v + k is linear in c and k, and solved
 * by least squares. Where the vectors keep to a plane, the centre is looked for in it (a little ridge holds the rest).
 */
function centredSpread({ x, y, z }: Vector3Columns): number {
  const stride = Math.max(1, Math.floor(x.length / SAMPLED));
  const sums = new Float64Array(20);
  let scale = 0;
  for (let i = 0; i < x.length; i += stride)
    scale = Math.max(scale, Math.abs(x[i]!), Math.abs(y[i]!), Math.abs(z[i]!));
  if (!(scale > 0)) return Number.NaN;
  const v = new Float64Array([0, 0, 0, 1]);
  const count = Math.ceil(x.length / stride);
  for (let i = 0; i < x.length; i += stride) {
    v[0] = x[i]! / scale;
    v[1] = y[i]! / scale;
    v[2] = z[i]! / scale;
    const square = v[0] * v[0] + v[1] * v[1] + v[2] * v[2];
    for (let a = 0; a < 4; ++a) {
      for (let b = 0; b < 4; ++b) sums[4 * a + b]! += v[a]! * v[b]!;
      sums[16 + a]! += v[a]! * square;
    }
  }
  const solved = solve4(sums, 1e-4 * count);
  if (!solved) return Number.NaN;
  const [cx, cy, cz] = [solved[0]! / 2, solved[1]! / 2, solved[2]! / 2];
  const lengths = new Float64Array(count);
  for (let i = 0, k = 0; i < x.length; i += stride, ++k)
    lengths[k] = Math.hypot(x[i]! / scale - cx, y[i]! / scale - cy, z[i]! / scale - cz);
  return spreadOf(lengths);
}

/** Solves the normal equations of four unknowns by elimination; null where they have no one solution. */
function solve4(sums: Float64Array, ridge: number): number[] | null {
  const m = [0, 1, 2, 3].map((a) =>
    [0, 1, 2, 3].map((b) => sums[4 * a + b]! + (a === b && a < 3 ? ridge : 0)),
  );
  const v = [0, 1, 2, 3].map((a) => sums[16 + a]!);
  for (let k = 0; k < 4; ++k) {
    const pivot = [k, k + 1, k + 2, k + 3]
      .filter((a) => a < 4)
      .reduce((a, b) => (Math.abs(m[b]![k]!) > Math.abs(m[a]![k]!) ? b : a));
    if (!(Math.abs(m[pivot]![k]!) > 1e-12)) return null;
    [m[k], m[pivot]] = [m[pivot]!, m[k]!];
    [v[k], v[pivot]] = [v[pivot]!, v[k]!];
    for (let a = k + 1; a < 4; ++a) {
      const factor = m[a]![k]! / m[k]![k]!;
      for (let b = k; b < 4; ++b) m[a]![b]! -= factor * m[k]![b]!;
      v[a]! -= factor * v[k]!;
    }
  }
  for (let k = 3; k >= 0; --k) {
    for (let b = k + 1; b < 4; ++b) v[k]! -= m[k]![b]! * v[b]!;
    v[k]! /= m[k]![k]!;
  }
  return v;
}

function turningOf(
  { x, y, z }: Vector3Columns,
  lengths: Float64Array,
): { turnDegPerRow: number; turnedDeg: number } {
  const angle = (a: number, b: number) => {
    const dot = (x[a]! * x[b]! + y[a]! * y[b]! + z[a]! * z[b]!) / (lengths[a]! * lengths[b]!);
    return DEG * Math.acos(Math.min(1, Math.max(-1, dot)));
  };
  // Over several rows, as noise turns a vector from one row to the next.
  const stride = 8;
  const steps: number[] = [];
  let turnedDeg = 0;
  for (let i = 0; i + stride < lengths.length; i += stride) {
    steps.push(angle(i, i + stride) / stride);
    turnedDeg = Math.max(turnedDeg, angle(0, i + stride) || 0);
  }
  const sorted = Float64Array.from(steps.filter((own) => !Number.isNaN(own))).sort();
  return { turnDegPerRow: sorted[Math.floor(0.99 * (sorted.length - 1))] ?? Number.NaN, turnedDeg };
}
