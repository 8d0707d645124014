import { RAD_PER_DEG } from './units.ts';

export type AxisName = '+x' | '-x' | '+y' | '-y' | '+z' | '-z';

/** The rotation from sensor frame to prop frame. */
export interface Mount {
  /** The sensor axis that points to the blade's tip: prop +x. */
  readonly tip: AxisName;
  /** The sensor axis that becomes prop +y; z completes the right hand. */
  readonly side: AxisName;
  /** A small rotation vector in the prop frame, on top of the axes. */
  readonly correctionDeg?: readonly [number, number, number];
}

export const AXIS_NAMES: readonly AxisName[] = ['+x', '-x', '+y', '-y', '+z', '-z'];
export const IDENTITY_MOUNT: Mount = Object.freeze({ tip: '+x', side: '+y' });

/** Whether the sensor's axes are taken for the prop's own. */
export function isIdentityMount({ tip, side, correctionDeg }: Mount): boolean {
  const isTurned = correctionDeg?.some((angle) => angle !== 0) ?? false;
  return tip === IDENTITY_MOUNT.tip && side === IDENTITY_MOUNT.side && !isTurned;
}

/** The 24 right-handed signed permutations. */
export function listMounts(): Mount[] {
  return AXIS_NAMES.flatMap((tip) =>
    AXIS_NAMES.filter((side) => side[1] !== tip[1]).map((side) => ({ tip, side })),
  );
}

/**
 * The matrix M of a mount, row by row: v_prop = M v_sensor.
 * @throws RangeError  if tip and side are the same axis.
 */
export function mountMatrix({ tip, side, correctionDeg }: Mount): Float64Array {
  if (tip[1] === side[1]) throw new RangeError(`a mount needs two different axes, got ${tip} and ${side}`);
  const x = unit(tip);
  const y = unit(side);
  const z = [x[1]! * y[2]! - x[2]! * y[1]!, x[2]! * y[0]! - x[0]! * y[2]!, x[0]! * y[1]! - x[1]! * y[0]!];
  // A negative zero is a zero, so that equal mounts have equal matrices.
  const axes = Float64Array.from([...x, ...y, ...z], (part) => part + 0);
  return correctionDeg ? product(rotation(correctionDeg), axes) : axes;
}

/** Three columns turned by a matrix, row by row, into new ones. */
export function turnColumns(
  m: Float64Array,
  x: Float64Array,
  y: Float64Array,
  z: Float64Array,
  outs: readonly Float64Array[] = [],
): readonly [Float64Array, Float64Array, Float64Array] {
  const turned = (row: number): Float64Array => turnedColumn(m, row, x, y, z, outs[row]);
  return [turned(0), turned(1), turned(2)];
}

export function isIdentityMatrix(m: Float64Array): boolean {
  return m.every((part, k) => part === (k % 4 === 0 ? 1 : 0));
}

/** One of them, by its row. */
export function turnedColumn(
  m: Float64Array,
  row: number,
  x: Float64Array,
  y: Float64Array,
  z: Float64Array,
  out: Float64Array = new Float64Array(x.length),
): Float64Array {
  const a = m[3 * row]!;
  const b = m[3 * row + 1]!;
  const c = m[3 * row + 2]!;
  for (let i = 0; i < out.length; ++i) out[i] = a * x[i]! + b * y[i]! + c * z[i]!;
  return out;
}

function unit(axis: AxisName): number[] {
  const sign = axis[0] === '+' ? 1 : -1;
  return ['x', 'y', 'z'].map((name) => (axis[1] === name ? sign : 0));
}

/** Rodrigues' formula. */
function rotation(vectorDeg: readonly [number, number, number]): Float64Array {
  const [rx, ry, rz] = vectorDeg.map((part) => part * RAD_PER_DEG) as [number, number, number];
  const angle = Math.hypot(rx, ry, rz);
  if (angle === 0) return Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
  const [x, y, z] = [rx / angle, ry / angle, rz / angle];
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const v = 1 - c;
  return Float64Array.of(
    c + x * x * v,
    x * y * v - z * s,
    x * z * v + y * s,
    y * x * v + z * s,
    c + y * y * v,
    y * z * v - x * s,
    z * x * v - y * s,
    z * y * v + x * s,
    c + z * z * v,
  );
}

function product(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(9);
  for (let r = 0; r < 3; ++r) {
    for (let c = 0; c < 3; ++c)
      out[3 * r + c] = a[3 * r]! * b[c]! + a[3 * r + 1]! * b[3 + c]! + a[3 * r + 2]! * b[6 + c]!;
  }
  return out;
}
