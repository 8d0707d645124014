import { expect, test } from 'vitest';
import { median, plainRows, readOpen } from './recordings.ts';

const DEG = 180 / Math.PI;
const path = 'broad/fast-rotation.csv';

/** Cameras saw which way the sensor pointed, row by row: earth from sensor. */
function optical() {
  const rows = plainRows(path, 2, ';');
  const [w, x, y, z] = ['opt_qw', 'opt_qx', 'opt_qy', 'opt_qz'].map((name) => rows.column(name)) as [
    number[],
    number[],
    number[],
    number[],
  ];
  return w.map((_, i) => [w[i]!, x[i]!, y[i]!, z[i]!] as const);
}

test('gravity’s direction in fast turns is the one that cameras saw', async () => {
  const { motion } = await readOpen([path]);
  const q = optical();
  expect(motion.timeUs.length).toBe(q.length);
  const errors = q.map(([w, x, y, z], i) => {
    const up = [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)] as const;
    const cos = up[0] * motion.gravityXG[i]! + up[1] * motion.gravityYG[i]! + up[2] * motion.gravityZG[i]!;
    return Math.acos(Math.min(1, Math.max(-1, cos))) * DEG;
  });
  expect(median(errors)).toBeLessThan(0.5);
  expect(Math.max(...errors)).toBeLessThan(2.5);
});

test('all turns together are as long as cameras saw', async () => {
  const { motion, report } = await readOpen([path]);
  expect(report.rateHz).toBeCloseTo(2000 / 7, 2);
  expect(report.peakRateDps).toBeGreaterThan(800);
  const q = optical();
  let [seen, measured] = [0, 0];
  // Ten rows apart: what the cameras' own noise adds is then little.
  for (let i = 1050; i + 10 < q.length; i += 10) {
    const [a, b] = [q[i]!, q[i + 10]!];
    const dot = Math.abs(a[0] * b[0] + a[1] * b[1] + a[2] * b[2] + a[3] * b[3]);
    seen += 2 * Math.acos(Math.min(1, dot)) * DEG;
    let turn = [0, 0, 0];
    for (let k = i; k < i + 10; ++k)
      turn = [motion.gyroXDps, motion.gyroYDps, motion.gyroZDps].map(
        (rate, axis) => turn[axis]! + ((rate[k]! + rate[k + 1]!) / 2) * 0.0035,
      );
    measured += Math.hypot(...turn);
  }
  expect(seen).toBeGreaterThan(700);
  expect(Math.abs(measured / seen - 1)).toBeLessThan(0.01);
});
