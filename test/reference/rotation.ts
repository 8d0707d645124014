/** Rotations as 3 x 3 matrices, row by row, kept apart from the engine's quaternions. */
export type Matrix = readonly (readonly [number, number, number])[];
export type Vector = readonly [number, number, number];

export const IDENTITY: Matrix = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Rodrigues' formula: turns by |v| about v, v in radians. */
export function matrixOfVector(v: Vector): Matrix {
  const angle = Math.hypot(...v);
  if (angle === 0) return IDENTITY;
  const [x, y, z] = v.map((part) => part / angle) as [number, number, number];
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const u = 1 - c;
  return [
    [c + x * x * u, x * y * u - z * s, x * z * u + y * s],
    [y * x * u + z * s, c + y * y * u, y * z * u - x * s],
    [z * x * u - y * s, z * y * u + x * s, c + z * z * u],
  ];
}

export function times(a: Matrix, b: Matrix): Matrix {
  return a.map(
    (row) =>
      [0, 1, 2].map((c) => row[0] * b[0]![c]! + row[1] * b[1]![c]! + row[2] * b[2]![c]!) as unknown as Vector,
  );
}

export function apply(a: Matrix, v: Vector): Vector {
  return a.map((row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]) as unknown as Vector;
}

export function transpose(a: Matrix): Matrix {
  return [0, 1, 2].map((c) => a.map((row) => row[c]!) as unknown as Vector);
}

export function determinant(m: Matrix): number {
  const [a, b, c] = m as [Vector, Vector, Vector];
  return (
    a[0] * (b[1] * c[2] - b[2] * c[1]) -
    a[1] * (b[0] * c[2] - b[2] * c[0]) +
    a[2] * (b[0] * c[1] - b[1] * c[0])
  );
}
