import { describe, expect, test } from 'vitest';
import { previewLog } from '../../server/ingest/preview.ts';
import { readTake } from '../../server/ingest/readTake.ts';
import type { Overrides } from '../../server/ingest/types.ts';
import {
  accel,
  codes,
  FORCES,
  G,
  gyro,
  RAD,
  RATES,
  rollingTake,
  rowsOf,
  type Sample,
  SIX,
  textSource,
  time,
} from './logs.ts';

const RATE_HZ = 100;
const take = rollingTake(900, RATE_HZ);
const comma = (read: (s: Sample) => string) => (s: Sample) => read(s).replace('.', ',');
const iso = (s: Sample, digits: number) => {
  const whole = Math.floor(s.t + 1e-9);
  const part = (s.t - whole).toFixed(digits).slice(1);
  return `2026-05-09T15:30:${String(whole).padStart(2, '0')}${digits > 0 ? part : ''}`;
};
const sixCodes = (lsbA: number, lsbG: number) => [...codes('accel', lsbA), ...codes('gyro', lsbG)];
const SI = [...FORCES, ...RATES];

interface Expected {
  readonly accelUnit?: string;
  readonly gyroUnit?: string;
  readonly timeUnit?: string;
  readonly overrides?: Overrides;
  readonly presses?: number;
}

/** Every text below holds the same motion: it must come out the same, whatever wrote it. */
const DIALECTS: readonly (readonly [name: string, text: string | Uint8Array, expected: Expected])[] = [
  [
    'comma, units in brackets',
    `Time (s),Gyroscope X (deg/s),Gyroscope Y (deg/s),Gyroscope Z (deg/s),Accelerometer X (g),Accelerometer Y (g),Accelerometer Z (g)\n${rowsOf(take, [time(), ...SIX])}`,
    { gyroUnit: 'deg/s' },
  ],
  [
    'semicolon with decimal comma',
    `t [s];gx [°/s];gy [°/s];gz [°/s];ax [g];ay [g];az [g]\n${rowsOf(take, [time(), ...SIX].map(comma), ';')}`,
    {},
  ],
  [
    'tabs, CRLF',
    `time_ms\tgx\tgy\tgz\tax\tay\taz\r\n${rowsOf(take, [time(1000, 0), ...SIX], '\t', '\r\n')}`,
    { timeUnit: 'ms' },
  ],
  [
    'CR alone',
    `t_us,gx_dps,gy_dps,gz_dps,ax_g,ay_g,az_g\r${rowsOf(take, [time(1e6, 0), ...SIX], ',', '\r')}`,
    { timeUnit: 'us' },
  ],
  [
    'runs of blanks',
    `  t   wx  wy  wz  ax  ay  az\n${rowsOf(take, [(s) => `  ${time()(s)}`, ...SIX], '   ')}`,
    {},
  ],
  ['UTF-8 byte order mark', `\uFEFFtime,wx,wy,wz,ax,ay,az\n${rowsOf(take, [time(), ...SIX])}`, {}],
  ['UTF-16 little endian with mark', utf16(`time,wx,wy,wz,ax,ay,az\n${rowsOf(take, [time(), ...SIX])}`), {}],
  [
    'Windows-1252 header',
    latin1(
      `Zeit [s];Gyro X [°/s];Gyro Y [°/s];Gyro Z [°/s];Acc X [m/s²];Acc Y [m/s²];Acc Z [m/s²]\n${rowsOf(take, [time(), gyro(0), gyro(1), gyro(2), accel(0, G), accel(1, G), accel(2, G)], ';')}`,
    ),
    { accelUnit: 'm/s2', gyroUnit: 'deg/s' },
  ],
  [
    '# comments before the header and between rows',
    `# made by a logger\n# seated\ntime,gx,gy,gz,ax,ay,az\n${rowsOf(take.slice(0, 400), [time(), ...SIX])}# pause\n${rowsOf(take.slice(400), [time(), ...SIX])}`,
    {},
  ],
  ['// comments', `// v2\ntime,gx,gy,gz,ax,ay,az\n${rowsOf(take, [time(), ...SIX])}`, {}],
  ['header as a % comment', `% time,gx,gy,gz,ax,ay,az\n${rowsOf(take, [time(), ...SIX])}`, {}],
  [
    'every field quoted',
    `"time","gx","gy","gz","ax","ay","az"\n${rowsOf(
      take,
      [time(), ...SIX].map((c) => (s: Sample) => `"${c(s)}"`),
    )}`,
    {},
  ],
  [
    'quoted decimal commas',
    `"time","gx","gy","gz","ax","ay","az"\n${rowsOf(
      take,
      [time(), ...SIX].map(comma).map((c) => (s: Sample) => `"${c(s)}"`),
    )}`,
    {},
  ],
  [
    'header on line 31, free text before it',
    `${'Recorded in the yard\n'.repeat(30)}time,gx,gy,gz,ax,ay,az\n${rowsOf(take, [time(), ...SIX])}`,
    {},
  ],
  [
    'key-value preamble with the rate, no clock, raw codes',
    `Fs,100\nLogging Type,1\nax,ay,az,gx,gy,gz\n${rowsOf(take, sixCodes(16384, 131))}`,
    { accelUnit: 'lsb:16384', gyroUnit: 'lsb:131' },
  ],
  [
    'preamble padded to the table by a spreadsheet',
    `Sample rate,100,,,,\nax,ay,az,gx,gy,gz\n${rowsOf(take, sixCodes(4096, 32.8))}`,
    { accelUnit: 'lsb:4096', gyroUnit: 'lsb:32.8' },
  ],
  [
    'no clock, rate stated by the user',
    `ax,ay,az,gx,gy,gz\n${rowsOf(take, sixCodes(2048, 16.4))}`,
    { accelUnit: 'lsb:2048', gyroUnit: 'lsb:16.4', overrides: { rateHz: 100 } },
  ],
  [
    'packet counter and a stated rate',
    `# sample rate: 100 Hz\npacket,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(_, i) => 500 + i, ...SI])}`,
    { timeUnit: 'counter', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'SI units in names with underscores',
    `time_s,acc_x_mps2,acc_y_mps2,acc_z_mps2,gyr_x_radps,gyr_y_radps,gyr_z_radps\n${rowsOf(take, [time(), ...SI])}`,
    { accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'no units anywhere, SI found from the data',
    `timestamp,accX,accY,accZ,gyroX,gyroY,gyroZ\n${rowsOf(take, [time(), ...SI])}`,
    { accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'mg and mdps',
    `t(ms),AccX(mg),AccY(mg),AccZ(mg),GyrX(mdps),GyrY(mdps),GyrZ(mdps)\n${rowsOf(take, [time(1e3, 0), accel(0, 1e3, 1), accel(1, 1e3, 1), accel(2, 1e3, 1), gyro(0, 1e3, 0), gyro(1, 1e3, 0), gyro(2, 1e3, 0)])}`,
    { accelUnit: 'mg', gyroUnit: 'mdeg/s' },
  ],
  [
    'a row of units',
    `time,ax,ay,az,gx,gy,gz\ns,m/s^2,m/s^2,m/s^2,rad/s,rad/s,rad/s\n${rowsOf(take, [time(), ...SI])}`,
    { accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'a group row above an axis row',
    `,Accelerometer,,,Gyroscope,,\ntime,x,y,z,x,y,z\n${rowsOf(take, [time(), accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`,
    {},
  ],
  [
    'device, name, kind and unit rows',
    `sep=\t\n${rowHeader('dev1')}${['Timestamp', 'Accel_LN_X', 'Accel_LN_Y', 'Accel_LN_Z', 'Gyro_X', 'Gyro_Y', 'Gyro_Z'].join('\t')}\n${rowHeader('CAL')}${['ms', 'm/(s^2)', 'm/(s^2)', 'm/(s^2)', 'deg/s', 'deg/s', 'deg/s'].join('\t')}\n${rowsOf(take, [time(1e3, 1), accel(0, G), accel(1, G), accel(2, G), gyro(0), gyro(1), gyro(2)], '\t')}`,
    { accelUnit: 'm/s2', gyroUnit: 'deg/s', timeUnit: 'ms' },
  ],
  [
    'annotation rows and an empty first column',
    `#group,false,false,true,true,true,true,true,true\n#datatype,string,dateTime:RFC3339,double,double,double,double,double,double\n#default,last,,,,,,,\n,result,_time,ax,ay,az,gx,gy,gz\n${rowsOf(take, [() => '', () => 'mean', (s) => `${iso(s, 3)}Z`, accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`,
    { timeUnit: 'iso8601' },
  ],
  [
    'no header at all',
    rowsOf(take, [
      time(),
      accel(0, G),
      accel(1, G),
      accel(2, G),
      gyro(0, RAD, 6),
      gyro(1, RAD, 6),
      gyro(2, RAD, 6),
    ]),
    { accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'no header, rates first, microseconds',
    rowsOf(take, [time(1e6, 0), gyro(0), gyro(1), gyro(2), accel(0), accel(1), accel(2)]),
    { timeUnit: 'us' },
  ],
  [
    'columns in the order z, y, x, rates first',
    `t,gyro_z,gyro_y,gyro_x,acc_z,acc_y,acc_x\n${rowsOf(take, [time(), gyro(2), gyro(1), gyro(0), accel(2), accel(1), accel(0)])}`,
    {},
  ],
  [
    'axes numbered from 0',
    `time (us), gyro[0], gyro[1], gyro[2], acc[0], acc[1], acc[2]\n${rowsOf(take, [time(1e6, 0), ...SIX], ', ')}`,
    { timeUnit: 'us' },
  ],
  [
    'rotation rate and acceleration spelled out',
    `epoch,rotation rate x,rotation rate y,rotation rate z,acceleration x,acceleration y,acceleration z\n${rowsOf(take, [(s) => (1_778_347_800 + s.t).toFixed(3), gyro(0, RAD, 6), gyro(1, RAD, 6), gyro(2, RAD, 6), accel(0), accel(1), accel(2)])}`,
    { timeUnit: 's', gyroUnit: 'rad/s' },
  ],
  [
    'epoch milliseconds',
    `timestamp,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(s) => Math.round(1_778_347_800_000 + s.t * 1e3), ...SI])}`,
    { timeUnit: 'ms', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'epoch nanoseconds',
    `timestamp,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(s) => String(1_778_347_800_000_000_000n + BigInt(Math.round(s.t * 1e9))), ...SI])}`,
    { timeUnit: 'ns', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'epoch in scientific notation',
    `timestamp,ax,ay,az,gx,gy,gz\n${rowsOf(take, [(s) => `${(1.7783478e9 + s.t).toExponential(12)}`, ...SI])}`,
    { timeUnit: 's', accelUnit: 'm/s2', gyroUnit: 'rad/s' },
  ],
  [
    'scientific notation throughout',
    `t,gx,gy,gz,ax,ay,az\n${rowsOf(
      take,
      [time(), ...SIX].map((c) => (s: Sample) => Number(c(s)).toExponential()),
    )}`,
    {},
  ],
  [
    'ISO 8601 to the microsecond with an offset',
    `time,gx,gy,gz,ax,ay,az\n${rowsOf(take, [(s) => `${iso(s, 6)}+02:00`, ...SIX])}`,
    { timeUnit: 'iso8601' },
  ],
  [
    'time of day across midnight',
    `clock,gx,gy,gz,ax,ay,az\n${rowsOf(take, [(s) => timeOfDay(86_396 + s.t), ...SIX])}`,
    { timeUnit: 'timeOfDay' },
  ],
  [
    'raw and calibrated side by side',
    `t,raw_gx,raw_gy,raw_gz,gx_cal,gy_cal,gz_cal,ax,ay,az\n${rowsOf(take, [time(), () => 3, (_, i) => i % 5, () => 7, ...SIX])}`,
    {},
  ],
  [
    'magnetometer, temperature, quaternion and empty optical columns beside',
    `t,mx,my,mz,temp,qw,qx,qy,qz,opt_x,gx,gy,gz,ax,ay,az\n${rowsOf(take, [time(), () => 21, () => -3, () => 40, () => 24.5, () => 1, () => 0, () => 0, () => 0, () => 'nan', ...SIX])}`,
    {},
  ],
  [
    'an optical column with gaps, a label column first',
    `part,t,ax,ay,az,gx,gy,gz,opt_qw\n${rowsOf(take, [(_, i) => (i < 450 ? 'still' : 'roll'), time(), accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2), (_, i) => (i % 3 ? 'nan' : 1)])}`,
    {},
  ],
  [
    'a button column of 0 and 1',
    `t,gx,gy,gz,ax,ay,az,power_button\n${rowsOf(take, [time(), ...SIX, (_, i) => (i % 300 > 100 && i % 300 < 120 ? 1 : 0)])}`,
    { presses: 3 },
  ],
  [
    'button edges as text',
    `t,gx,gy,gz,ax,ay,az,event\n${rowsOf(take, [time(), ...SIX, (_, i) => (i === 200 ? 'power down' : i === 230 ? 'power up' : '')])}`,
    { presses: 1 },
  ],
  [
    'an event column that rows leave out where it is empty',
    `t,gx,gy,gz,ax,ay,az,button\n${take.map((s, i) => [time(), ...SIX].map((read) => read(s)).join(',') + (i === 200 ? ',down' : i === 230 ? ',up' : '')).join('\n')}`,
    { presses: 1 },
  ],
  [
    'a delimiter after every last field',
    `t,gx,gy,gz,ax,ay,az,\n${rowsOf(take, [time(), ...SIX, () => ''])}`,
    {},
  ],
];

describe('one motion in every dialect', () => {
  test.each(DIALECTS)('%s', async (_name, text, expected) => {
    const source = textSource(text);
    const preview = await previewLog([source], expected.overrides ?? {}, {});
    expect(preview.needs).toEqual([]);
    const { log, report } = await readTake([source], preview.mapping, {});
    const unitOf = (role: string) => preview.mapping.columns.find((column) => column.role === role)?.unit;
    if (expected.accelUnit) expect(unitOf('accelX')).toBe(expected.accelUnit);
    if (expected.gyroUnit) expect(unitOf('gyroX')).toBe(expected.gyroUnit);
    if (expected.timeUnit) expect(unitOf('time')).toBe(expected.timeUnit);
    expect(report).toEqual(preview.report);
    expect(report.badRowCount).toBe(0);
    expect(report.rows).toBe(take.length);
    expect(Math.abs(report.rateHz - RATE_HZ)).toBeLessThan(0.02);
    if (expected.presses !== undefined)
      expect(report.presses.map(({ count }) => count)).toEqual([expected.presses]);
    for (const i of [0, 150, 399, 651, 899]) {
      const { gyro: rates, accel: force, t } = take[i]!;
      expect(Math.abs(log.timeUs[i]! - t * 1e6)).toBeLessThan(2);
      // Codes of 1/16.4 deg/s and 1/2048 g are the coarsest.
      expect(Math.abs(log.gyroXDps[i]! - rates[0])).toBeLessThan(0.04);
      expect(Math.abs(log.gyroZDps[i]! - rates[2])).toBeLessThan(0.04);
      expect(Math.abs(log.accelYG[i]! - force[1])).toBeLessThan(6e-4);
      expect(Math.abs(log.accelZG[i]! - force[2])).toBeLessThan(6e-4);
    }
  });
});

function rowHeader(word: string): string {
  return `${Array.from({ length: 7 }, () => word).join('\t')}\n`;
}

function timeOfDay(seconds: number): string {
  const day = seconds % 86_400;
  const whole = Math.floor(day + 1e-9);
  const two = (value: number) => String(value).padStart(2, '0');
  const part = Math.abs(day - whole)
    .toFixed(3)
    .slice(1);
  return `${two(Math.floor(whole / 3600))}:${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}${part}`;
}

function utf16(text: string): Uint8Array {
  const bytes = Buffer.from(`\uFEFF${text}`, 'utf16le');
  return new Uint8Array(bytes);
}

function latin1(text: string): Uint8Array {
  return new Uint8Array(Buffer.from(text, 'latin1'));
}
