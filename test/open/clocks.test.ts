import { expect, test } from 'vitest';
import { median, plainRows, readOpen } from './recordings.ts';

const norm = (...parts: number[]) => Math.hypot(...parts);

test('steps of a foot: rows that are there twice, rows that are missing, and the peaks', async () => {
  const path = 'gait-tracking/steps.csv';
  const { report } = await readOpen([path]);
  const rows = plainRows(path, 1);
  const twice = rows.lines.filter((line, i) => i > 0 && line === rows.lines[i - 1]).length;
  expect(twice).toBeGreaterThan(10);
  expect(report.duplicates).toBe(twice);
  expect(report.rows).toBe(rows.lines.length - twice);
  const time = rows.column('Time (s)').filter((t, i, all) => t !== all[i - 1]);
  const steps = time.slice(1).map((t, i) => t - time[i]!);
  // Some are twice the usual step but for the last digit.
  const longer = (times: number) => steps.filter((step) => step > times * median(steps)).length;
  expect(report.longSteps).toBeGreaterThanOrEqual(longer(2.01));
  expect(report.longSteps).toBeLessThanOrEqual(longer(1.99));
  expect(report.longestStepMs).toBeCloseTo(Math.max(...steps) * 1000, 1);
  const [gx, gy, gz] = ['X', 'Y', 'Z'].map((axis) => rows.column(`Gyroscope ${axis} (deg/s)`)) as [
    number[],
    number[],
    number[],
  ];
  const [ax, ay, az] = ['X', 'Y', 'Z'].map((axis) => rows.column(`Accelerometer ${axis} (g)`)) as [
    number[],
    number[],
    number[],
  ];
  expect(report.peakRateDps).toBeCloseTo(Math.max(...gx.map((x, i) => norm(x, gy[i]!, gz[i]!))), 3);
  expect(report.peakAccelG).toBeCloseTo(Math.max(...ax.map((x, i) => norm(x, ay[i]!, az[i]!))), 3);
});

test('a phone’s two files of one take: one clock, columns z, y, x, rad/s, and no gravity', async () => {
  const paths = ['imu-data/Accelerometer.csv', 'imu-data/Gyroscope.csv'];
  const { log, report } = await readOpen(paths);
  const [force, rate] = paths.map((path) => plainRows(path, 1)) as [
    ReturnType<typeof plainRows>,
    ReturnType<typeof plainRows>,
  ];
  const stamps = rate.lines.map((line) => BigInt(line.split(',')[0]!));
  const us = (stamp: bigint) => Number((stamp - stamps[0]!) / 1000n);
  expect(log.timeUs).toHaveLength(stamps.length);
  expect([...log.timeUs].every((time, i) => Math.abs(time - us(stamps[i]!)) <= 1)).toBe(true);
  expect(report.rateHz).toBeCloseTo((1e6 * (stamps.length - 1)) / us(stamps.at(-1)!), 1);
  expect(report.startTime).toMatch(/^2025-10-15T22:05:06\.248623/);
  const columns = {
    x: [log.gyroXDps, log.accelXG],
    y: [log.gyroYDps, log.accelYG],
    z: [log.gyroZDps, log.accelZG],
  } as const;
  for (const [name, [gyro, accel]] of Object.entries(columns)) {
    const [radps, mps2] = [rate.column(name), force.column(name)];
    expect(Math.max(...radps.map((value, i) => Math.abs((value * 180) / Math.PI - gyro[i]!)))).toBeLessThan(
      1e-9,
    );
    expect(Math.max(...mps2.map((value, i) => Math.abs(value / 9.80665 - accel[i]!)))).toBeLessThan(1e-9);
  }
  expect(report.peakRateDps).toBeCloseTo(218, 0);
  expect(report.warnings.join(' ')).toMatch(/holds no gravity/);
});

test('a rocket’s log of 34 columns: the sensor’s own rates are read, not the estimates beside them', async () => {
  const path = 'airbrakes/fast-spin.csv';
  const { log, report, mapping } = await readOpen([path]);
  const rows = plainRows(path, 1);
  const axes = ['x', 'y', 'z'];
  const gyro = axes.map((axis) => rows.column(`raw_angular_rate_${axis}_deg_per_s`)) as [
    number[],
    number[],
    number[],
  ];
  const peak = Math.max(...gyro[0].map((x, i) => norm(x, gyro[1][i]!, gyro[2][i]!)));
  expect(peak).toBeCloseTo(2229, 0);
  expect(report.peakRateDps).toBeCloseTo(peak, 6);
  expect([...log.gyroYDps]).toEqual(gyro[1]);
  const roles = new Map(mapping.columns.map(({ name, role }) => [name, role]));
  for (const axis of axes) {
    expect(roles.get(`raw_acceleration_${axis}_gs`)).toBe(`accel${axis.toUpperCase()}`);
    expect(roles.get(`raw_rotated_acceleration_${axis}_gs`)).toBe('ignored');
    expect(roles.get(`est_quaternion_${axis}`)).toBe('ignored');
  }
  expect(roles.get('timestamp_seconds')).toBe('time');
  const time = rows.column('timestamp_seconds');
  expect(report.rateHz).toBeCloseTo((time.length - 1) / (time.at(-1)! - time[0]!), 1);
  // The logger's own estimate of how it turned, in quaternions, is as long: so the unit of the rates is right.
  const q = ['w', 'x', 'y', 'z'].map((part) => rows.column(`est_quaternion_${part}`));
  let [estimated, measured] = [0, 0];
  for (let i = 1; i < time.length; ++i) {
    const dot = Math.abs(q.reduce((sum, part) => sum + part[i]! * part[i - 1]!, 0));
    estimated += (2 * Math.acos(Math.min(1, dot)) * 180) / Math.PI;
    measured +=
      (norm(log.gyroXDps[i]!, log.gyroYDps[i]!, log.gyroZDps[i]!) * (log.timeUs[i]! - log.timeUs[i - 1]!)) /
      1e6;
  }
  expect(Math.abs(measured / estimated - 1)).toBeLessThan(0.05);
});
