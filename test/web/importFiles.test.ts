import { describe, expect, test } from 'vitest';
import type { Preview } from '../../server/http/schemas.ts';
import { fileLikeness } from '../../web/state/fileLikeness.ts';
import { completes, forOrder, missingHalf } from '../../web/state/importFiles.ts';

describe('of the files that wait, the likest name belongs to the same take', () => {
  test.each([
    ['carry_acc.csv', 'carry_gyro.csv', ['spin_gyro.csv', 'carry.csv2.txt']],
    ['Accelerometer.csv', 'Gyroscope.csv', ['walk.csv', 'Gyroscope 2.csv']],
    ['take 12 accel.csv', 'take12_gyr.csv', ['take 13 gyr.csv']],
    ['2031-05-02-AccelRaw.csv', '2031-05-02-GyroRaw.csv', ['2031-05-03-GyroRaw.csv']],
  ])('%s with %s', (one, partner, others) => {
    for (const other of others) expect(fileLikeness(one, partner)).toBeGreaterThan(fileLikeness(one, other));
  });

  test('it goes both ways, and is 1 for the same take at most', () => {
    expect(fileLikeness('a_acc.csv', 'b_gyro.csv')).toBe(fileLikeness('b_gyro.csv', 'a_acc.csv'));
    expect(fileLikeness('spin acc.csv', 'spin gyr.csv')).toBe(1);
    expect(fileLikeness('spin.csv', 'carry.csv')).toBe(0);
  });
});

const withRoles = (...roles: string[]) =>
  ({ mapping: { columns: roles.map((role) => ({ role })) } }) as unknown as Preview;

test.each([
  ['rates alone', ['time', 'gyroX', 'gyroY'], 'accel'],
  ['acceleration alone', ['accelZ', 'button'], 'gyro'],
  ['both', ['accelX', 'gyroX'], null],
  ['neither', ['time', 'button'], null],
])('what is missing of %s', (_claim, roles, half) => {
  expect(missingHalf(withRoles(...roles))).toBe(half);
});

test.each([
  ['the other half', { accel: false, gyro: true }, true],
  ['a whole log', { accel: true, gyro: true }, false],
  ['the same half', { accel: true, gyro: false }, false],
  ['neither', { accel: false, gyro: false }, false],
])('%s completes an accelerometer’s file: see', (_claim, held, isSo) => {
  expect(completes({ holds: [{ accel: true, gyro: false }, held] }, 'gyro', 1)).toBe(isSo);
});

test('statements follow their file; those of a file that is gone are dropped', () => {
  const [a, b, c] = ['a', 'b', 'c'].map((name) => new File([], name)) as [File, File, File];
  const roles = [
    { file: 0, index: 3, role: 'button' as const },
    { file: 1, index: 1, role: 'label' as const },
  ];
  expect(forOrder({ rateHz: 100, roles }, [a, b], [c, b])).toEqual({
    rateHz: 100,
    roles: [{ file: 1, index: 1, role: 'label' }],
  });
  expect(forOrder({ roles }, [a, b], [b, a]).roles?.map(({ file }) => file)).toEqual([1, 0]);
  expect(forOrder({ roles }, [a, b], [c])).toEqual({});
});
