import { describe, expect, test } from 'vitest';
import { readName } from '../../server/ingest/ground/names.ts';
import { canonicalUnit, factorTo, readUnit, unitWords } from '../../server/ingest/ground/units.ts';

describe('names', () => {
  test.each([
    ['gx', 'gyro', 0, null],
    ['gyro_x', 'gyro', 0, null],
    ['gyr_x_radps', 'gyro', 0, 'rad/s'],
    ['Gyroscope Y (deg/s)', 'gyro', 1, 'deg/s'],
    ['omega_z', 'gyro', 2, null],
    ['ωx [rad/s]', 'gyro', 0, 'rad/s'],
    ['wz', 'gyro', 2, null],
    ['rotationRateX', 'gyro', 0, null],
    ['rotation rate z', 'gyro', 2, null],
    ['raw_angular_rate_x_deg_per_s', 'gyro', 0, 'deg/s'],
    ['yaw rate (°/s)', 'gyro', 2, 'deg/s'],
    ['Angular velocity Y, deg/sec', 'gyro', 1, 'deg/s'],
    ['GYRO_Z_MDPS', 'gyro', 2, 'mdeg/s'],
    ['ax', 'accel', 0, null],
    ['a_y [m/s^2]', 'accel', 1, 'm/s2'],
    ['Accelerometer Z (g)', 'accel', 2, 'g'],
    ['raw_acceleration_x_gs', 'accel', 0, 'g'],
    ['acc_z_mps2', 'accel', 2, 'm/s2'],
    ['Linear Acceleration x (m/s²)', 'accel', 0, 'm/s2'],
    ['accY(mg)', 'accel', 1, 'mg'],
    ['gFz', 'accel', 2, null],
    ['specific force x', 'accel', 0, null],
    ['lin_y', 'accel', 1, null],
    ['linearZ', 'accel', 2, null],
    ['linx', 'accel', 0, null],
    ['linear_velocity_x', 'other', 0, null],
    ['lin', 'unknown', null, null],
    ['Acceleration [m·s⁻²] y', 'accel', 1, 'm/s2'],
    ['time', 'time', null, null],
    ['Timestamp (us)', 'time', null, 'us'],
    ['time_ms', 'time', null, 'ms'],
    ['seconds_elapsed', 'time', null, 's'],
    ['millis', 'time', null, 'ms'],
    ['t [s]', 'time', null, 's'],
    ['packet counter', 'counter', null, null],
    ['sample', 'counter', null, null],
    ['power_button', 'button', null, null],
    ['btn1', 'button', null, null],
    ['activity', 'label', null, null],
    ['Magnetometer X (uT)', 'other', 0, null],
    ['mx', 'other', null, null],
    ['temperature_celsius', 'other', null, null],
    ['qw', 'other', null, null],
    ['pressure_pascals', 'other', null, null],
    ['gravity_x', 'other', 0, null],
    ['roll', 'other', null, null],
    ['est_velocity_z_meters_per_s', 'other', 2, null],
    ['zebra', 'unknown', null, null],
  ])('%s is %s, axis %s, unit %s', (name, kind, axis, unit) => {
    const reading = readName(name);
    expect([reading.kind, reading.axis]).toEqual([kind, axis]);
    if (unit !== null) expect(reading.unit?.unit).toBe(unit);
    else if (kind === 'gyro' || kind === 'accel') expect(reading.unit).toBeNull();
  });

  test.each([
    ['raw_gx', 'raw'],
    ['gx_cal', 'calibrated'],
    ['est_acc_x', 'estimated'],
    ['rotated_acc_x', 'otherFrame'],
    ['userAccelerationX', 'noGravity'],
    ['gyro_x_uncalibrated', 'uncalibrated'],
    ['acc_bias_x', 'secondary'],
  ])('%s is marked %s', (name, trait) => expect(readName(name).traits).toContain(trait));
});

describe('units', () => {
  // 3rd CGPM (1901): 1 g = 9.80665 m/s2 exactly [cited from memory, universally agreed].
  test.each([
    ['accel', 'g', 1],
    ['accel', 'mg', 1e-3],
    ['accel', 'm/s2', 1 / 9.80665],
    ['accel', 'lsb:16384', 1 / 16_384],
    ['gyro', 'deg/s', 1],
    ['gyro', 'mdeg/s', 1e-3],
    ['gyro', 'rad/s', 57.29577951308232],
    ['gyro', 'lsb:16.4', 1 / 16.4],
  ] as const)('%s in %s', (quantity, unit, factor) =>
    expect(factorTo(quantity, unit)).toBeCloseTo(factor, 14),
  );

  test.each([
    ['accel', 'deg/s'],
    ['gyro', 'g'],
    ['accel', 'lsb:0'],
    ['accel', 'lsb:'],
    ['gyro', 'lsb:-1'],
    ['accel', ''],
  ] as const)('%s has no unit %j', (quantity, unit) => expect(factorTo(quantity, unit)).toBeNull());

  test.each([
    ['m/s^2', 'm/s2'],
    ['m/s²', 'm/s2'],
    ['m.s-2', 'm/s2'],
    ['m/s/s', 'm/s2'],
    ['meters per second squared', 'm/s2'],
    ['mps2', 'm/s2'],
    ['G', 'g'],
    ["g's", 'g'],
    ['milli-g', null],
    ['rad.s^-1', 'rad/s'],
    ['degrees per second', 'deg/s'],
    ['dps', 'deg/s'],
    ['µs', 'us'],
    ['furlong', null],
  ])('%j spells %s', (text, unit) => expect(readUnit(text)?.unit ?? null).toBe(unit));

  test.each([
    ['accel', 'm/s2', 'm/s²'],
    ['accel', 'ft/s2', 'ft/s²'],
    ['accel', 'lsb:2048', '2048 codes per g'],
    ['accel', 'mg', 'mg'],
    ['gyro', 'deg/s', '°/s'],
    ['gyro', 'mdeg/s', 'm°/s'],
    ['gyro', 'rad/s', 'rad/s'],
    ['gyro', 'lsb:16.4', '16.4 codes per °/s'],
    ['time', 'us', 'µs'],
    ['time', 'iso8601', 'iso8601'],
  ] as const)('%s unit %s reads %s, and is read again where it is no code', (quantity, unit, words) => {
    expect(unitWords(quantity, unit)).toBe(words);
    if (!unit.startsWith('lsb:')) expect(canonicalUnit(quantity, words)).toBe(unit);
  });

  test.each([
    ['gyro', 'LSB:16.4', 'lsb:16.4'],
    ['gyro', 'dps', 'deg/s'],
    ['time', 'counter', 'counter'],
    ['time', 'millis', 'ms'],
    ['accel', 'dps', null],
    ['time', 'lsb:3', null],
  ] as const)('%s unit %j is kept as %s', (quantity, text, unit) =>
    expect(canonicalUnit(quantity, text)).toBe(unit),
  );
});
