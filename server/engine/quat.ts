/**
 * Quaternions as Float64Array(4), scalar first, Hamilton's product. `qEarthFromBody` turns a vector of the body frame
 * into the earth frame, v' = q v q*; earth z points up. All frames are right-handed.
 */
export type Quat = Float64Array;

export function identityQuat(): Quat {
  return Float64Array.of(1, 0, 0, 0);
}

/** a ⊗ b, written to `out`, which may be either. */
export function multiplyQuat(a: Quat, b: Quat, out: Quat = new Float64Array(4)): Quat {
  const [aw, ax, ay, az] = [a[0]!, a[1]!, a[2]!, a[3]!];
  const [bw, bx, by, bz] = [b[0]!, b[1]!, b[2]!, b[3]!];
  out[0] = aw * bw - ax * bx - ay * by - az * bz;
  out[1] = aw * bx + ax * bw + ay * bz - az * by;
  out[2] = aw * by - ax * bz + ay * bw + az * bx;
  out[3] = aw * bz + ax * by - ay * bx + az * bw;
  return out;
}

export function conjugateQuat(q: Quat, out: Quat = new Float64Array(4)): Quat {
  out[0] = q[0]!;
  out[1] = -q[1]!;
  out[2] = -q[2]!;
  out[3] = -q[3]!;
  return out;
}

/** The quaternion of a rotation vector (axis times angle, radians): the exponential map, exact for any angle. */
export function quatFromVectorRad(x: number, y: number, z: number, out: Quat = new Float64Array(4)): Quat {
  const angle = Math.sqrt(x * x + y * y + z * z);
  const half = angle / 2;
  // sin(a/2)/a by its series near zero, where the quotient loses its digits.
  const s = angle < 1e-4 ? 0.5 - (angle * angle) / 48 : Math.sin(half) / angle;
  out[0] = Math.cos(half);
  out[1] = x * s;
  out[2] = y * s;
  out[3] = z * s;
  return out;
}

/** v' = q v q*. */
export function rotateByQuat(
  q: Quat,
  x: number,
  y: number,
  z: number,
  out: Float64Array = new Float64Array(3),
): Float64Array {
  const [w, a, b, c] = [q[0]!, q[1]!, q[2]!, q[3]!];
  const tx = 2 * (b * z - c * y);
  const ty = 2 * (c * x - a * z);
  const tz = 2 * (a * y - b * x);
  out[0] = x + w * tx + b * tz - c * ty;
  out[1] = y + w * ty + c * tx - a * tz;
  out[2] = z + w * tz + a * ty - b * tx;
  return out;
}

export function normaliseQuat(q: Quat): Quat {
  const scale = 1 / Math.sqrt(q[0]! * q[0]! + q[1]! * q[1]! + q[2]! * q[2]! + q[3]! * q[3]!);
  for (let i = 0; i < 4; ++i) q[i] = q[i]! * scale;
  return q;
}

/**
 * The twist about x of the swing-twist decomposition q = swing ⊗ twist, in radians, -π to π. NaN where the swing
 * reaches 180°: there every twist is as good as another.
 * Source: Dobrowolski, "Swing-twist decomposition in Clifford algebra", arXiv 1506.05481 (cited from memory).
 */
export function twistAboutXRad(q: Quat): number {
  const [w, x] = [q[0]!, q[1]!];
  if (w * w + x * x < 1e-18) return Number.NaN;
  const angle = 2 * Math.atan2(x, w);
  return angle > Math.PI ? angle - 2 * Math.PI : angle <= -Math.PI ? angle + 2 * Math.PI : angle;
}
