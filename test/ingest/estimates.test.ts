import { expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview/preview.ts';
import { accel, codes, gyro, rollingTake, rowsOf, type Sample, textSource, time } from './logs.ts';
import { SPIN } from './spin.ts';

/** The roll of `rollingTake` in radians, as an orientation filter on the device would print it. */
function rollOf({ t }: Sample): number {
  return t < 1 ? 0 : (Math.PI / 4) * (1 - Math.cos(2 * Math.PI * 0.25 * (t - 1)));
}

test('without names, three parts of a unit quaternion are no force, even where the force does not rest at 1 g', async () => {
  const quaternion = [Math.cos, Math.sin, () => 0, () => 0].map(
    (part) => (s: Sample) => part(rollOf(s) / 2).toFixed(5),
  );
  const short = ([0, 1, 2] as const).map((axis) => accel(axis, 0.66));
  const rates = ([0, 1, 2] as const).map((axis) => gyro(axis));
  const text = rowsOf(rollingTake(900, 100), [time(), ...rates, ...short, ...quaternion]);
  const { mapping } = await previewLog([textSource(text)], {}, {});
  const roles = mapping.columns.map(({ role }) => role);
  expect(roles.slice(7)).toEqual(['ignored', 'ignored', 'ignored', 'ignored']);
  expect(mapping.columns[7]!.reason).toContain('quaternion');
  expect(roles.slice(4, 7)).toEqual(['accelX', 'accelY', 'accelZ']);
});

test('without names, angles counted from the start, and back there in each rest, are no rates', async () => {
  const rows = SPIN.map(({ time: at, forces, rates }) => {
    const speed = Math.hypot(...rates.map(Number));
    const angle = speed < 0.5 ? 0 : 10 * speed;
    return [at, ...forces, angle.toFixed(3), (0.4 * angle).toFixed(3), (-angle).toFixed(3)].join();
  });
  const { needs, report } = await previewLog([textSource(rows.join('\n'))], {}, {});
  expect(report).toBeNull();
  expect(needs.join()).toContain('angular rate');
});

test('rows of zeros are named among codes without their sign, too', async () => {
  const unsigned = (of: 'accel' | 'gyro', scale: number) =>
    codes(of, scale).map((code) => (s: Sample) => {
      const value = Number(code(s));
      return value < 0 ? value + 65536 : value;
    });
  const header = '# accelerometer: 4096 LSB/g\n# gyroscope: 32.8 LSB/dps\nus,ax,ay,az,gx,gy,gz\n';
  const body = rowsOf(rollingTake(900, 100), [
    time(1e6, 0),
    ...unsigned('accel', 4096),
    ...unsigned('gyro', 32.8),
  ]);
  const { report } = await previewLog(
    [textSource(`${header}${body}${'0,0,0,0,0,0,0\n'.repeat(40)}`)],
    {},
    {},
  );
  expect(report).toMatchObject({ zeroRows: 40, rows: 900, duplicates: 0, backwards: 0 });
});
