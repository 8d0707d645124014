/** A uniform rod that hangs from its end: angle from hanging (rad) and rate (rad/s) at every step, by Runge and Kutta. */
export function rodPendulum(
  lengthM: number,
  startRad: number,
  stepS: number,
  steps: number,
): { angle: Float64Array; rate: Float64Array } {
  const pull = (3 * 9.80665) / (2 * lengthM);
  const angle = new Float64Array(steps + 1);
  const rate = new Float64Array(steps + 1);
  angle[0] = startRad;
  for (let i = 0; i < steps; ++i) {
    const slope = (a: number, w: number): [number, number] => [w, -pull * Math.sin(a)];
    const [a, w] = [angle[i]!, rate[i]!];
    const k1 = slope(a, w);
    const k2 = slope(a + (stepS / 2) * k1[0], w + (stepS / 2) * k1[1]);
    const k3 = slope(a + (stepS / 2) * k2[0], w + (stepS / 2) * k2[1]);
    const k4 = slope(a + stepS * k3[0], w + stepS * k3[1]);
    angle[i + 1] = a + (stepS / 6) * (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]);
    rate[i + 1] = w + (stepS / 6) * (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]);
  }
  return { angle, rate };
}
