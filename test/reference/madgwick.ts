/**
 * One step of the gradient filter for rate and force alone, as its report gives it (Madgwick, "An efficient orientation
 * filter for inertial and inertial/magnetic sensor arrays", 2010). q maps earth to body there; here, as everywhere in this
 * project, body to earth, whose components differ in sign only. First-order integration, the gradient normalised.
 */
export function madgwickStep(
  q: readonly [number, number, number, number],
  gyroRadps: readonly [number, number, number],
  force: readonly [number, number, number],
  beta: number,
  stepS: number,
): [number, number, number, number] {
  const [w, x, y, z] = q;
  const [gx, gy, gz] = gyroRadps;
  const size = Math.hypot(...force);
  const [ax, ay, az] = force.map((part) => part / size) as [number, number, number];
  const f1 = 2 * (x * z - w * y) - ax;
  const f2 = 2 * (w * x + y * z) - ay;
  const f3 = 2 * (0.5 - x * x - y * y) - az;
  const gradient = [
    -2 * y * f1 + 2 * x * f2,
    2 * z * f1 + 2 * w * f2 - 4 * x * f3,
    -2 * w * f1 + 2 * z * f2 - 4 * y * f3,
    2 * x * f1 + 2 * y * f2,
  ];
  const norm = Math.hypot(...gradient);
  const unit = gradient.map((part) => (norm > 0 ? part / norm : 0));
  const rate = [
    0.5 * (-x * gx - y * gy - z * gz),
    0.5 * (w * gx + y * gz - z * gy),
    0.5 * (w * gy - x * gz + z * gx),
    0.5 * (w * gz + x * gy - y * gx),
  ];
  const next = q.map((part, i) => part + (rate[i]! - beta * unit[i]!) * stepS);
  const length = Math.hypot(...next);
  return next.map((part) => part / length) as [number, number, number, number];
}
