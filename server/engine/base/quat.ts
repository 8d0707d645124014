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
  const aw = a[0]!;
  const ax = a[1]!;
  const ay = a[2]!;
  const az = a[3]!;
  const bw = b[0]!;
  const bx = b[1]!;
  const by = b[2]!;
  const bz = b[3]!;
  out[0] = aw * bw - ax * bx - ay * by - az * bz;
  out[1] = aw * bx + ax * bw + ay * bz - az * by;
  out[2] = aw * by - ax * bz + ay * bw + az * bx;
  out[3] = aw * bz + ax * by - ay * bx + az * bw;
  return out;
}

/** Below this half angle, squared, both series are exact to the last bit: their next terms are under 1e-17. */
const SERIES_BELOW = 0.01;

/** The quaternion of a rotation vector (axis times angle, radians): the exponential map, exact for any angle. */
export function quatFromVectorRad(x: number, y: number, z: number, out: Quat = new Float64Array(4)): Quat {
  const h2 = (x * x + y * y + z * z) / 4;
  let cos: number;
  let sinc: number;
  if (h2 < SERIES_BELOW) {
    cos = 1 - (h2 / 2) * (1 - (h2 / 12) * (1 - (h2 / 30) * (1 - (h2 / 56) * (1 - h2 / 90))));
    sinc = 1 - (h2 / 6) * (1 - (h2 / 20) * (1 - (h2 / 42) * (1 - h2 / 72)));
  } else {
    const half = Math.sqrt(h2);
    cos = Math.cos(half);
    sinc = Math.sin(half) / half;
  }
  out[0] = cos;
  out[1] = 0.5 * x * sinc;
  out[2] = 0.5 * y * sinc;
  out[3] = 0.5 * z * sinc;
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
  const w = q[0]!;
  const a = q[1]!;
  const b = q[2]!;
  const c = q[3]!;
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
  q[0] = q[0]! * scale;
  q[1] = q[1]! * scale;
  q[2] = q[2]! * scale;
  q[3] = q[3]! * scale;
  return q;
}

/**
 * The twist about x of the swing-twist decomposition q = swing ⊗ twist, in radians, -π to π. NaN where the swing
 * reaches 180°: there every twist is as good as another.
 * Source: Dobrowolski, "Swing-twist decomposition in Clifford algebra", arXiv 1506.05481 (cited from memory).
 */
export function twistAboutXRad(q: Quat): number {
  const w = q[0]!;
  const x = q[1]!;
  if (w * w + x * x < 1e-18) return Number.NaN;
  const angle = 2 * Math.atan2(x, w);
  return angle > Math.PI ? angle - 2 * Math.PI : angle <= -Math.PI ? angle + 2 * Math.PI : angle;
}
