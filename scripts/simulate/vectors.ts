type Vec3 = readonly [number, number, number];

/** w x (w x r) + alpha x r. */
export function leverArmAccel(w: Vec3, alpha: Vec3, r: Vec3): [number, number, number] {
  const spin = cross(w, cross(w, r));
  const euler = cross(alpha, r);
  return [spin[0] + euler[0], spin[1] + euler[1], spin[2] + euler[2]];
}

function cross(a: Vec3, b: Vec3): [number, number, number] {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/** R^T v for the rotation `q` (scalar first, prop to earth). */
export function intoBody(
  q: readonly [number, number, number, number],
  vx: number,
  vy: number,
  vz: number,
): [number, number, number] {
  const [w, x, y, z] = q;
  // v + 2w(-u x v) + 2u x (u x v) with u = (x, y, z)
  const tx = 2 * (z * vy - y * vz);
  const ty = 2 * (x * vz - z * vx);
  const tz = 2 * (y * vx - x * vy);
  return [vx + w * tx + (z * ty - y * tz), vy + w * ty + (x * tz - z * tx), vz + w * tz + (y * tx - x * ty)];
}
