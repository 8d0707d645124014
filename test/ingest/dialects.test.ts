import { describe, test } from 'vitest';
import { accel, FORCES, gyro, rowsOf, type Sample, SIX, time } from './logs.ts';
import { type Dialect, expectSameMotion, iso, SI, sixCodes, take } from './sameMotion.ts';

const comma = (read: (s: Sample) => string) => (s: Sample) => read(s).replace('.', ',');

/** Ways to write a table: delimiters, quotes, encodings, what stands above the rows and between them. */
const DIALECTS: readonly Dialect[] = [
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
      `Zeit [s];Gyro X [°/s];Gyro Y [°/s];Gyro Z [°/s];Acc X [m/s²];Acc Y [m/s²];Acc Z [m/s²]\n${rowsOf(take, [time(), gyro(0), gyro(1), gyro(2), ...FORCES], ';')}`,
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
    `sep=\t\n${rowHeader('dev1')}${['Timestamp', 'Accel_LN_X', 'Accel_LN_Y', 'Accel_LN_Z', 'Gyro_X', 'Gyro_Y', 'Gyro_Z'].join('\t')}\n${rowHeader('CAL')}${['ms', 'm/(s^2)', 'm/(s^2)', 'm/(s^2)', 'deg/s', 'deg/s', 'deg/s'].join('\t')}\n${rowsOf(take, [time(1e3, 1), ...FORCES, gyro(0), gyro(1), gyro(2)], '\t')}`,
    { accelUnit: 'm/s2', gyroUnit: 'deg/s', timeUnit: 'ms' },
  ],
  [
    'annotation rows and an empty first column',
    `#group,false,false,true,true,true,true,true,true\n#datatype,string,dateTime:RFC3339,double,double,double,double,double,double\n#default,last,,,,,,,\n,result,_time,ax,ay,az,gx,gy,gz\n${rowsOf(take, [() => '', () => 'mean', (s) => `${iso(s, 3)}Z`, accel(0), accel(1), accel(2), gyro(0), gyro(1), gyro(2)])}`,
    { timeUnit: 'iso8601' },
  ],
  ['no header at all', rowsOf(take, [time(), ...SI]), { accelUnit: 'm/s2', gyroUnit: 'rad/s' }],
  ['no header, rates first, microseconds', rowsOf(take, [time(1e6, 0), ...SIX]), { timeUnit: 'us' }],
  [
    'scientific notation throughout',
    `t,gx,gy,gz,ax,ay,az\n${rowsOf(
      take,
      [time(), ...SIX].map((c) => (s: Sample) => Number(c(s)).toExponential()),
    )}`,
    {},
  ],
  [
    'a delimiter after every last field',
    `t,gx,gy,gz,ax,ay,az,\n${rowsOf(take, [time(), ...SIX, () => ''])}`,
    {},
  ],
];

describe('one motion, however the table is written', () => {
  test.each(DIALECTS)('%s', (_name, text, expected) => expectSameMotion(text, expected));
});

function rowHeader(word: string): string {
  return `${Array.from({ length: 7 }, () => word).join('\t')}\n`;
}

function utf16(text: string): Uint8Array {
  const bytes = Buffer.from(`\uFEFF${text}`, 'utf16le');
  return new Uint8Array(bytes);
}

function latin1(text: string): Uint8Array {
  return new Uint8Array(Buffer.from(text, 'latin1'));
}
