import { expect, test } from 'vitest';
import { indexAt, mean, plainRows, readOpen, readSources, sortedSource, turnDeg } from './recordings.ts';

test('three full turns, one about each axis, of a sensor that logs codes and counts samples', async () => {
  const path = 'imucal/annotated_session.csv';
  // Rate and sensitivities as the sensor's makers give them: nothing in the file tells the rate.
  const stated = { rateHz: 204.8, accelUnit: 'lsb:2048', gyroUnit: 'lsb:16.4' };
  // As published it is sorted by its parts, so that time leaps to and fro: it is asked about, and put in order here.
  await expect(readOpen([path], stated)).rejects.toThrow('the rows are not in the order of column "samples"');
  const { log, textSpans, mapping } = await readSources([sortedSource(path, 'samples')], stated);
  const rates = { x_rot: log.gyroXDps, y_rot: log.gyroYDps, z_rot: log.gyroZDps };
  const rows = plainRows(path, 1);
  const parts = rows.lines.map((line) => line.split(',')[0]!);
  for (const [part, rate] of Object.entries(rates)) {
    const span = textSpans.find(({ text }) => text === part)!;
    const turn = turnDeg(log, rate, indexAt(log.timeUs, span.startUs), indexAt(log.timeUs, span.endUs));
    // By hand: the sum of the codes of the part, over sensitivity and rate.
    const codes = rows.column(`gyr_${part[0]}`).filter((_, i) => parts[i] === part);
    expect(turn).toBeCloseTo(codes.reduce((sum, code) => sum + code, 0) / 16.4 / 204.8, -0.5);
    // Turned by hand, once around.
    expect(Math.abs(turn / 360 - 1), `${part}: ${turn}`).toBeLessThan(0.025);
  }
  expect(mapping.columns.map(({ role }) => role)).toEqual([
    'label',
    'time',
    'accelX',
    'accelY',
    'accelZ',
    'gyroX',
    'gyroY',
    'gyroZ',
  ]);
});

test('a quarter turn about x, by codes below four lines of settings, the bias taken off', async () => {
  const path = 'imu-calibration/imu_90_x_rot.csv';
  // As its maker gives it: by a quarter turn gravity does not tell it from the next one, and the program asks.
  const gyroUnit = 'lsb:131';
  const { log, report, motion, mapping } = await readOpen([path], { gyroUnit });
  expect([report.rows, report.rateHz]).toEqual([9987, 100]);
  const unitOf = (role: string) => mapping.columns.find((column) => column.role === role)!.unit;
  expect([unitOf('accelX'), unitOf('gyroX')]).toEqual(['lsb:16384', gyroUnit]);
  // By hand: the codes from 14 to 30 s, in which it is turned, each less the mean code of the ten seconds at rest before.
  const codes = plainRows(path, 5).column('gx');
  const bias = mean(codes.slice(300, 1300));
  const byHand = codes.slice(1400, 3000).reduce((sum, code) => sum + (code - bias) / 131 / 100, 0);
  const turn = turnDeg(motion, motion.gyroXDps, 1400, 2999);
  // Between two rests the bias wanders by some hundredths of a °/s: over 16 s, half a degree.
  expect(Math.abs(turn - byHand), `${turn} and ${byHand}`).toBeLessThan(1);
  expect(Math.abs(turn - 90), `turned ${turn}`).toBeLessThan(2.5);
  expect(log.gyroXDps[0]).toBeCloseTo(codes[0]! / 131, 9);
});

test('the same sensor at rest: its bias and what its accelerometer reads for 1 g', async () => {
  const path = 'imu-calibration/imu_static_test_start.csv';
  const { motion, log } = await readOpen([path]);
  const rows = plainRows(path, 5);
  const bias = mean(rows.column('gx')) / 131;
  expect(bias).toBeCloseTo(-3.3, 1);
  expect(mean([...log.gyroXDps])).toBeCloseTo(bias, 6);
  expect(Math.abs(mean([...motion.gyroXDps]))).toBeLessThan(0.02);
  const [ax, ay, az] = ['ax', 'ay', 'az'].map((name) => mean(rows.column(name)) / 16_384) as [
    number,
    number,
    number,
  ];
  const force = [log.accelXG, log.accelYG, log.accelZG].map((values) => mean([...values])) as [
    number,
    number,
    number,
  ];
  expect(Math.hypot(...force)).toBeCloseTo(Math.hypot(ax, ay, az), 9);
  expect(Math.hypot(...force)).toBeCloseTo(0.91, 2);
});

test('almost three turns about the upright axis and back to rest: 1034°', async () => {
  const path = 'fusion/turns-about-z.csv';
  const { motion, report } = await readOpen([path]);
  const [time, z] = [plainRows(path, 1).column('Time (s)'), plainRows(path, 1).column('Gyroscope Z (deg/s)')];
  const until = time.findIndex((t) => t >= 76);
  const bias = mean(z.slice(0, 150));
  let byHand = 0;
  for (let i = 1; i <= until; ++i) byHand += ((z[i]! + z[i - 1]!) / 2 - bias) * (time[i]! - time[i - 1]!);
  expect(byHand).toBeCloseTo(1034, -1);
  const turn = turnDeg(motion, motion.gyroZDps, 0, indexAt(motion.timeUs, (76 - time[0]!) * 1e6));
  expect(Math.abs(turn - byHand), `${turn} and ${byHand}`).toBeLessThan(1);
  expect(report.rateHz).toBeCloseTo((time.length - 1) / (time.at(-1)! - time[0]!), 0);
});

test('out and back about x: the turn comes back to nothing, and gravity to where it was', async () => {
  const path = 'fusion/out-and-back-x.csv';
  const { motion, report } = await readOpen([path]);
  const last = motion.timeUs.length - 1;
  let [furthest, nearest] = [0, 0];
  for (let i = 0; i <= last; i += 10) {
    const turn = turnDeg(motion, motion.gyroXDps, 0, i);
    [furthest, nearest] = [Math.max(furthest, turn), Math.min(nearest, turn)];
  }
  expect(furthest - nearest).toBeGreaterThan(80);
  expect(Math.abs(turnDeg(motion, motion.gyroXDps, 0, last))).toBeLessThan(3);
  const cos = ['gravityXG', 'gravityYG', 'gravityZG'].reduce(
    (sum, key) => sum + motion[key as 'gravityXG'][50]! * motion[key as 'gravityXG'][last]!,
    0,
  );
  expect((Math.acos(Math.min(1, cos)) * 180) / Math.PI).toBeLessThan(3);
  // 20 ms is more than twice the step: those that a plain look at the stamps finds.
  const time = plainRows(path, 1).column('Time (s)');
  const steps = time.slice(1).map((t, i) => t - time[i]!);
  const usual = [...steps].sort((a, b) => a - b)[steps.length >> 1]!;
  expect(report.longSteps).toBe(steps.filter((step) => step > 2.01 * usual).length);
  expect(report.longestStepMs).toBeCloseTo(Math.max(...steps) * 1000, 1);
});

test('the unit and sign of x are proven by gravity on what was turned out and back about x, and a reversed x is found', async () => {
  const path = 'fusion/out-and-back-x.csv';
  const right = (await readOpen([path])).check().data.gravity;
  expect(right.axes[0].state).toBe('proven');
  expect([right.low!, right.high!].map((bound) => Math.abs(bound - 1) < 0.05)).toEqual([true, true]);
  const x = 1;
  const reversed = (await readOpen([path], { reversed: [{ file: 0, index: x }] })).check();
  expect(reversed.data.gravity.axes[0].state).toBe('mirrored');
  expect(reversed.verdict).toBe('unfit');
  const inRadians = (await readOpen([path], { gyroUnit: 'rad/s' })).check();
  expect(inRadians.data.gravity.slope! * 57.2958).toBeCloseTo(1, 1);
  expect(inRadians.verdict).toBe('unfit');
});
