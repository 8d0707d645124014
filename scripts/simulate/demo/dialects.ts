import type { CsvDialect } from '../csv.ts';

/** A plain log: commas, seconds, deg/s, g, a 0/1 column for each button. The others say where they differ. */
const PLAIN: CsvDialect = {
  delimiter: ',',
  decimal: '.',
  newline: '\n',
  byteOrderMark: false,
  quotedHeader: false,
  preamble: [],
  time: { name: 'time_s', unit: 's', digits: 4, startMs: 0 },
  gyro: { names: ['gyro_x_dps', 'gyro_y_dps', 'gyro_z_dps'], unit: 'deg/s', digits: 2 },
  accel: { names: ['acc_x_g', 'acc_y_g', 'acc_z_g'], unit: 'g', digits: 4 },
  gyroFirst: false,
  buttons: { style: 'level', names: ['power_button', 'effect_button'] },
  labelColumn: null,
};

const SATURDAY_MS = Date.UTC(2026, 4, 9, 17, 30, 0);

export const DIALECTS = {
  plain: PLAIN,
  codes: {
    ...PLAIN,
    delimiter: '\t',
    preamble: [
      '# grip logger, raw two-byte codes',
      '# gyro range 1000 deg/s, 32.8 LSB/(deg/s)',
      '# accel range 16 g, 2048 LSB/g',
      '# rate 500 Hz',
    ],
    time: { name: 'ms', unit: 'ms', digits: 0, startMs: 0 },
    gyro: { names: ['gx_raw', 'gy_raw', 'gz_raw'], unit: 'codes', digits: 0 },
    accel: { names: ['ax_raw', 'ay_raw', 'az_raw'], unit: 'codes', digits: 0 },
    gyroFirst: true,
    buttons: { style: 'edge', column: 'button_event' },
  },
  decimalComma: {
    ...PLAIN,
    delimiter: ';',
    decimal: ',',
    time: { name: 'Zeit [ms]', unit: 'ms', digits: 1, startMs: 0 },
    gyro: { names: ['Gyro X [rad/s]', 'Gyro Y [rad/s]', 'Gyro Z [rad/s]'], unit: 'rad/s', digits: 4 },
    accel: { names: ['Acc X [m/s²]', 'Acc Y [m/s²]', 'Acc Z [m/s²]'], unit: 'm/s2', digits: 3 },
    gyroFirst: true,
  },
  labelled: {
    ...PLAIN,
    time: { name: 't_us', unit: 'us', digits: 0, startMs: 0 },
    labelColumn: 'drill',
  },
  epoch: {
    ...PLAIN,
    time: { name: 'timestamp_ns', unit: 'ns', digits: 0, startMs: SATURDAY_MS },
    buttons: { style: 'trueFalse', names: ['power_button', 'effect_button'] },
  },
  milli: {
    ...PLAIN,
    quotedHeader: true,
    time: { name: 'Time (us)', unit: 'us', digits: 0, startMs: 0 },
    gyro: { names: ['Gyro X (mdps)', 'Gyro Y (mdps)', 'Gyro Z (mdps)'], unit: 'mdeg/s', digits: 0 },
    accel: { names: ['Accel X (mg)', 'Accel Y (mg)', 'Accel Z (mg)'], unit: 'mg', digits: 1 },
  },
  seconds: {
    ...PLAIN,
    delimiter: ';',
    time: { name: 'seconds', unit: 's', digits: 3, startMs: 0 },
    gyro: { names: ['wx', 'wy', 'wz'], unit: 'deg/s', digits: 2 },
    accel: { names: ['ax', 'ay', 'az'], unit: 'g', digits: 4 },
    preamble: ['# wx wy wz: angular rate in deg/s', '# ax ay az: acceleration in g'],
    gyroFirst: true,
  },
  stamped: {
    ...PLAIN,
    newline: '\r\n',
    byteOrderMark: true,
    time: { name: 'timestamp', unit: 'iso8601', digits: 3, startMs: SATURDAY_MS - 7_200_000 },
    buttons: { style: 'trueFalse', names: ['power_button', 'effect_button'] },
  },
} as const satisfies Record<string, CsvDialect>;
