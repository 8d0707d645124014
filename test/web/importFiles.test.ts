import { describe, expect, test } from 'vitest';
import type { Preview } from '../../server/http/schemas.ts';
import { fileLikeness } from '../../web/state/fileLikeness.ts';
import { completes, forOrder, missingHalf } from '../../web/state/importFiles.ts';
import { roleOffers, withColumn, withOffer, withSign } from '../../web/state/statements.ts';

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

describe('what is stated of a column', () => {
  const at = (index: number, file = 0) => ({ file, index });
  const accelX = { ...at(1), role: 'accelX' as const };

  test('takes the place of what was stated of it, and leaves the others', () => {
    const first = withColumn({ rateHz: 100 }, at(1), { role: 'button', unit: '' });
    const both = withColumn(first, at(1, 1), { role: 'label', unit: '' });
    expect(withColumn(both, at(1), { role: 'time', unit: 'ms' })).toEqual({
      rateHz: 100,
      roles: [
        { ...at(1, 1), role: 'label' },
        { ...at(1), role: 'time', unit: 'ms' },
      ],
    });
  });

  test('as a unit of a sensor’s axis holds for the sensor; with another role it is the column’s', () => {
    expect(withColumn({}, accelX, { role: 'accelX', unit: 'g' })).toEqual({ accelUnit: 'g' });
    expect(withColumn({}, accelX, { role: 'gyroX', unit: 'deg/s' }).roles).toEqual([
      { ...at(1), role: 'gyroX', unit: 'deg/s' },
    ]);
    expect(withColumn({}, accelX, { role: 'accelX', unit: '' }).roles?.length).toBe(1);
  });

  test('as reversed is kept by column until it is taken back', () => {
    const two = withSign(withSign({ rateHz: 100 }, at(1), true), at(2), true);
    expect(withSign(two, at(1), true).reversed).toEqual([at(2), at(1)]);
    expect(withSign(two, at(1, 1), false)).toEqual(two);
    expect(withSign(withSign(two, at(1), false), at(2), false)).toEqual({ rateHz: 100 });
  });
});

describe('three columns of numbers without names are offered as the sensor that is missing', () => {
  const columns = (file: number, ...roles: string[]) => roles.map((role, index) => ({ file, index, role }));
  const preview = (roles: string[], cells: string[], headerLine: number | null = null) =>
    ({
      mapping: { columns: columns(0, ...roles), files: [{ headerLine }] },
      head: [[['?'], cells]],
    }) as unknown as Preview;
  const ignored = ['ignored', 'ignored', 'ignored'];
  const offers = (of: Preview) =>
    roleOffers(of).map(({ kind, columns }) => [kind, columns.map(({ index }) => index)]);

  test.each([
    ['rates', ['accelX', ...ignored, 'ignored'], ['1', '2', '3,5', '-4', '5'], null, [['gyro', [1, 2, 3]]]],
    [
      'both',
      ignored,
      ['1', '2', '3'],
      null,
      [
        ['accel', [0, 1, 2]],
        ['gyro', [0, 1, 2]],
      ],
    ],
    ['none: a word among them', ['accelX', ...ignored], ['1', '2', 'x', '4'], null, []],
    ['none: an empty cell among them', ['accelX', ...ignored], ['1', '2', ' ', '4'], null, []],
    ['none: a cell too few', ['accelX', ...ignored], ['1', '2', '3'], null, []],
    ['none: names say what they are', ['accelX', ...ignored], ['1', '2', '3', '4'], 1, []],
    ['none: nothing is missing', ['accelX', 'gyroX', ...ignored], ['1', '2', '3', '4', '5'], null, []],
  ] as const)('%s', (_claim, roles, cells, headerLine, expected) => {
    expect(offers(preview([...roles], [...cells], headerLine))).toEqual(expected);
  });

  test('taken, they are its axes in order', () => {
    const [offer] = roleOffers(preview(['gyroX', ...ignored], ['1', '2', '3', '4']));
    expect(withOffer({}, offer!).roles).toEqual([
      { file: 0, index: 1, role: 'accelX' },
      { file: 0, index: 2, role: 'accelY' },
      { file: 0, index: 3, role: 'accelZ' },
    ]);
  });
});
